package safety

import "fmt"

// Kill asks for a log reduction, in food whose water activity is known to be at
// least 0.97. The margin is in log10.
type Kill struct {
	Set   Inactivation
	Least float64 // [log10] 0 to 20
}

// driest is the water activity [-] down to which food counts as moist as that in
// which the sets were measured: a guess, about 5 % salt in its water.
const driest = 0.97

func (k Kill) fault() error {
	if !(k.Least >= 0 && k.Least <= 20) {
		return &CriterionError{"kill", "log reduction [log10]", k.Least, "0 to 20"}
	}
	return k.Set.Validate()
}

func (k Kill) judge(h *History, f *Facts) outcome {
	sum := 0.0
	var at *float64
	for i := 1; i < len(h.Time); i++ {
		p := h.piece(i)
		more := k.Set.killed(p)
		if at == nil && sum+more >= k.Least {
			reached := k.Set.reached(p, k.Least-sum)
			at = &reached
		}
		sum += more
	}
	o := byMargin(sum-k.Least, 1e-9, "log10")
	o.at = at
	o.text = fmt.Sprintf("%.3g log10 of %s as in %s", sum, k.Set.Germ, k.Set.Food)
	if o.verdict != Pass {
		return o
	}
	switch {
	case f.WaterActivity == nil:
		return lacking("its water activity")
	case *f.WaterActivity < driest:
		return outcome{verdict: CannotTell, text: "germs die more slowly in food as dry or salty as this; " + o.text + " if it were moist"}
	}
	return o
}

// Grow asks that a germ has grown by no more than Most. As growth is counted
// without lag it can pass but not fail: over Most it cannot tell. The margin is in
// log10.
type Grow struct {
	Set  Growth
	Most float64 // [log10] 0 to 20
}

func (g Grow) fault() error {
	if !(g.Most >= 0 && g.Most <= 20) {
		return &CriterionError{"grow", "growth [log10]", g.Most, "0 to 20"}
	}
	return g.Set.Validate()
}

func (g Grow) judge(h *History, _ *Facts) outcome {
	grown, _ := g.Set.LogGrowth(*h) // both are valid
	o := byMargin(g.Most-grown, 1e-9, "log10")
	o.text = fmt.Sprintf("up to %.3g log10 of %s as in %s", grown, g.Set.Germ, g.Set.Food)
	if o.verdict == Fail {
		return outcome{verdict: CannotTell, text: o.text + ", lag not counted", missing: "how long the germ lags"}
	}
	return o
}
