package verdict

import (
	"fmt"
	"math"

	"example.com/thawfront/thermal"
)

// Loss wishes that the dish loses little weight over the whole chain.
type Loss struct {
	Most float64 // [-] 0 to 1, of the weight at the end and what was lost
}

// String puts the wish into words.
func (w Loss) String() string {
	return fmt.Sprintf("no more than %s of the weight lost", percent(w.Most))
}

func (Loss) kind() string { return "loss" }

func (w Loss) fault(*subject) *InputError { return outside(bound{"most", w.Most, 0, 1}) }

func (w Loss) judge(s *subject) Finding {
	if missing := s.still(0); missing != nil {
		return unknown("-", missing...)
	}
	lost := s.lost()
	share := lost / (s.end.Mass() + lost)
	return measured(share, w.Most-share, "-", "it has "+lostOrGained(lost, share))
}

func (w Loss) mend(s *subject, _ *Finding) *ranked {
	c := &ranked{rank: forJuice}
	var dripped, dried float64
	for _, run := range s.runs {
		dripped += run.Water.Drip
		dried += run.Water.Steam + run.Water.Evaporated - run.Water.Condensed
	}
	c.Why = fmt.Sprintf("%s dripped off as juice or dew, %s went off as vapour", grams(dripped), grams(math.Max(0, dried)))
	if dripped > dried {
		c.Do = "cook it to a lower temperature: heat squeezes juice out"
		return c
	}
	name, _ := s.named(s.fiercest())
	c.Do = fmt.Sprintf("make %s shorter, or the air around it moister", name)
	c.Else = []string{"put a crust or a film of fat around it"}
	return c
}

// Juicy wishes that a layer keeps its water.
type Juicy struct {
	Layer string
	Kept  float64 // [-] 0 to 2, at least, of its water when it came into the chain
}

// String puts the wish into words.
func (w Juicy) String() string {
	return fmt.Sprintf("%s keeps at least %s of its water", w.Layer, percent(w.Kept))
}

func (Juicy) kind() string { return "juicy" }

func (w Juicy) fault(s *subject) *InputError {
	if f := outside(bound{"kept", w.Kept, 0, 2}); f != nil {
		return f
	}
	return s.known(w.Layer)
}

func (w Juicy) judge(s *subject) Finding {
	raw := s.rawWater(w.Layer)
	missing := s.still(s.since(w.Layer))
	if raw <= 0 {
		missing = append(missing, fmt.Sprintf("any water that %s began with", w.Layer))
	}
	f := unknown("-", missing...)
	if missing == nil {
		kept := s.layers[s.layer(w.Layer)].Water / raw
		f = measured(kept, kept-w.Kept, "-", fmt.Sprintf("%s has kept %s of its water", w.Layer, percent(kept)))
	}
	f.Layer = w.Layer
	return f
}

func (w Juicy) mend(s *subject, _ *Finding) *ranked {
	c := &ranked{rank: forJuice}
	var juice float64
	for _, run := range s.runs[s.since(w.Layer):] {
		for _, j := range run.Juices() {
			if j.Layer == w.Layer {
				juice += j.Mass
			}
		}
	}
	went := s.rawWater(w.Layer) - s.layers[s.layer(w.Layer)].Water
	peak, _ := s.last.Grid().Read(thermal.HottestOf(w.Layer), s.last.Peaks()) // the layer is known
	c.Why = fmt.Sprintf("of %s that are gone %s were let go as juice; the hottest of it came to %s", grams(went), grams(math.Min(juice, went)), deg1(peak))
	c.Do = fmt.Sprintf("keep %s cooler: heat squeezes juice out", w.Layer)
	if juice < went/2 {
		c.Do = fmt.Sprintf("cover %s, or put a film of fat around it: its water went off as vapour or into other layers", w.Layer)
	}
	return c
}
