package verdict

import (
	"fmt"
	"math"
	"time"
)

// Ready wishes that the last run is over in time.
type Ready struct {
	Within time.Duration // 1 s to 10 000 h
}

// String puts the wish into words.
func (w Ready) String() string { return "ready within " + minutes(w.Within.Seconds()) }

func (Ready) kind() string { return "ready" }

func (w Ready) fault(*subject) *InputError {
	return outside(bound{"within [s]", w.Within.Seconds(), 1, 3.6e7})
}

func (w Ready) judge(s *subject) Finding {
	took := s.last.Duration().Seconds()
	return measured(took, w.Within.Seconds()-took, "s", "it takes "+minutes(took))
}

func (w Ready) mend(s *subject, f *Finding) *ranked {
	longest := 0
	length := func(i int) float64 { start, end := times(s.last, i); return end - start }
	for i := range s.last.Stages {
		if length(i) > length(longest) {
			longest = i
		}
	}
	name, _ := s.named(longest)
	return &ranked{rank: forTime, Change: Change{
		Do: fmt.Sprintf("make the whole dish about %s thinner", percent(1-math.Sqrt(w.Within.Seconds() / *f.Value))),
		Why: fmt.Sprintf("heating goes as the square of the thickness, and %s takes %s of %s",
			name, minutes(length(longest)), minutes(*f.Value)),
		Else: []string{"start it less cold, if the rim can stand it"},
	}}
}
