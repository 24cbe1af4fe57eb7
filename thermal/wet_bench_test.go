package thermal

import (
	"context"
	"testing"
)

// BenchmarkStandardCaseWet is BenchmarkStandardCase with water moving, in media
// that the surface dries into.
func BenchmarkStandardCaseWet(b *testing.B) {
	d, s := standardDish(), standardSchedule()
	for i := range s {
		m := s[i].Medium.(Surroundings)
		m.Humidity = HumidityRatio(0.01)
		s[i].Medium = m
	}
	var run *Run
	for b.Loop() {
		var err error
		if run, err = Simulate(context.Background(), d, s, &Settings{Cells: 200, Moisture: true}); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportAllocs()
	report(b, run, 200)
}
