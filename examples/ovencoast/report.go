package main

import (
	"fmt"
	"io"
	"math"
	"time"

	"example.com/thawfront/thermal"
	"example.com/thawfront/thermal/oven"
)

// row is one oven.
type row struct {
	name    string
	air     [3]float64    // [°C] some minutes after the turning down
	total   time.Duration // until the core is warm
	hottest float64       // [°C] in the lamb
	rim     float64       // [m] of the lamb over the limit
	lost    float64       // [kg] water
	heater  float64       // [J]
}

// after is when the air is read.
var after = [3]time.Duration{5 * time.Minute, 15 * time.Minute, 30 * time.Minute}

func read(name string, o *oven.Oven, run *thermal.Run, s settings) (row, error) {
	r := row{name: name, total: run.Duration(), lost: run.Lost()}
	for i, d := range after {
		r.air[i] = s.gentle
		if len(run.Bodies) > 0 {
			r.air[i] = math.NaN() // done before
			if at := s.hotFor + d; at <= run.Duration() {
				r.air[i] = o.Read(run, at).Air
			}
		}
	}
	r.heater = math.NaN()
	if len(run.Bodies) > 0 {
		r.heater = o.Read(run, run.Duration()).Delivered
	}
	r.hottest = run.Extremes()[0].Highest
	_, rim, err := run.PeakAbove("lamb", overdone)
	r.rim = rim
	return r, err
}

func table(to io.Writer, rows []row, s settings) {
	fmt.Fprintf(to, "%-12s %25s %8s %9s %9s %7s %8s\n", "", "air °C, after", "ready", "hottest", "lamb over", "water", "heater")
	fmt.Fprintf(to, "%-12s", "oven")
	for _, d := range after {
		fmt.Fprintf(to, " %4.0f min", d.Minutes())
	}
	fmt.Fprintf(to, "  %7s %9s %6g °C %7s %8s\n", "min", "lamb °C", overdone, "lost g", "kWh")
	for _, r := range rows {
		fmt.Fprintf(to, "%-12s", r.name)
		for _, a := range r.air {
			fmt.Fprintf(to, " %8s", number("%.0f", a))
		}
		fmt.Fprintf(to, "  %7.0f %9.1f %6.1f mm %7.1f %8s\n", r.total.Minutes(), r.hottest, r.rim*1e3, r.lost*1e3, number("%.2f", r.heater/3.6e6))
	}
}

func number(format string, v float64) string {
	if math.IsNaN(v) {
		return "-"
	}
	return fmt.Sprintf(format, v)
}

// conclude says what the rows mean for a cook.
func conclude(to io.Writer, rows []row) {
	ideal, down, door := rows[0], rows[1], rows[2]
	sooner := ideal.total - down.total
	word := "sooner"
	if sooner < 0 {
		word, sooner = "later", -sooner
	}
	fmt.Fprintf(to, "\nCONCLUSION\nTurned down and left alone, the oven brings the centre to its end %.0f minutes %s than an oven\nthat is at once what it is set to, and the rim of the lamb gets %+.1f K and %+.1f mm.\n",
		sooner.Minutes(), word, down.hottest-ideal.hottest, (down.rim-ideal.rim)*1e3)
	if down.lost < ideal.lost {
		fmt.Fprintf(to, "Its walls are colder than its air, so the crust dries less: %.1f g of water lost against %.1f g.\n", down.lost*1e3, ideal.lost*1e3)
	}
	if down.hottest-ideal.hottest < 0.5 {
		fmt.Fprintln(to, "There is nothing to open the door for.")
		return
	}
	fmt.Fprintf(to, "Opening the door makes the hottest lamb %.1f K cooler than that, and the rim %.1f mm narrower.\n",
		down.hottest-door.hottest, (down.rim-door.rim)*1e3)
}
