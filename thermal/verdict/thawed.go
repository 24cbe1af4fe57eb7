package verdict

import (
	"fmt"

	"example.com/thawfront/thermal"
)

// Thawed wishes that no ice is left at the end.
type Thawed struct{}

// String puts the wish into words.
func (Thawed) String() string { return "no ice when served" }

func (Thawed) kind() string { return "thawed" }

func (Thawed) fault(*subject) *InputError { return nil }

// noIce [kg/kg] is the share of a dish's mass below which ice is rounding.
const noIce = 1e-6

func (Thawed) judge(s *subject) Finding {
	ice, margin := s.end.Ice(), 0.0
	if ice > noIce*s.end.Mass() {
		margin = -ice
	}
	return measured(ice, margin, "kg", fmt.Sprintf("%s of ice are left", grams(ice)))
}

func (Thawed) mend(s *subject, f *Finding) *ranked {
	c := &ranked{rank: forDoneness}
	stages := s.heating(0)
	if len(stages) == 0 {
		c.Do = "add a stage warmer than 0 °C at the end"
		c.Why = "no stage of the last run is"
		return c
	}
	name, m := s.named(stages[0])
	melts := -s.rate(stages[0], (*thermal.State).Ice)
	c.Why = fmt.Sprintf("%s of ice are left, and %s a minute melted when %s ended", grams(*f.Value), grams(60*melts), name)
	if longer := *f.Value / melts; melts > 0 && longer < maxLonger {
		c.Do = fmt.Sprintf("let %s go on for %s", name, about(longer))
		c.try(len(s.runs)-1, stages[0], nil, &longer)
		return c
	}
	c.Do = fmt.Sprintf("make %s much longer, or hotter than %s", name, deg(m))
	return c
}

// maxLonger [s] is how much longer a stage may be made: beyond four days a rate says
// nothing.
const maxLonger = 4 * 24 * 3600

// rate is how fast something in the dish changes over the last tenth of a stage of the
// last run [-] (a second, in its own unit).
func (s *subject) rate(stage int, of func(*thermal.State) float64) float64 {
	start, end := times(s.last, stage)
	tenth := (end - start) / 10
	if tenth <= 0 {
		return 0
	}
	return (of(s.last.At(span(end))) - of(s.last.At(span(end-tenth)))) / tenth
}
