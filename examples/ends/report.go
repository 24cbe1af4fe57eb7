package main

import (
	"fmt"
	"io"
	"math"
	"time"

	"example.com/thawfront/thermal"
)

// What makes a slice right: it is about as the long roll's (guesses).
const (
	warmer = 2.0   // [K] its axis may be over the long roll's centre at serving
	wider  = 0.001 // [m] its grey rim may be over the long roll's
	grey   = 60.0  // [°C] from where meat is grey (common practice, no source)
)

// slice is what a cut across the roll shows at serving.
type slice struct {
	fromEnd float64 // [m] of the meat
	axis    float64 // [°C]
	rim     float64 // [m] of grey meat, counted from the outer face of the meat inwards
	all     bool    // grey to the axis
}

// roll is one length: what its slices are like, and the long roll's.
type roll struct {
	length float64 // [m] of the meat
	time   time.Duration
	late   float64 // [-] how much later the long roll's middle is done
	long   slice
	slices []slice // one every centimetre, from the end to the middle
	right  float64 // [m] from the end slices are right; NaN if none is
}

// look reads the slices of a roll.
func look(both *thermal.Flattened, length float64) (roll, error) {
	out := roll{length: length, time: both.Two.Duration(), late: both.Late, right: math.NaN()}
	meat := both.Two.Dish.Layers[0]
	_, rim, err := both.One.PeakAbove(meat.Name, grey)
	if err != nil {
		return out, err
	}
	out.long = slice{axis: target, rim: rim}
	end, peaks, grid := both.Two.End(), both.Two.Peaks(), both.Two.Grid()
	cut := func(fromEnd float64) (slice, error) {
		s := slice{fromEnd: fromEnd}
		y := length/2 - fromEnd
		if s.axis, err = end.Temperature(thermal.At(0, y)); err != nil {
			return s, err
		}
		const steps = 132 // a quarter of a millimetre each
		outer := math.NaN()
		for i := range steps + 1 {
			x := meat.Thickness * (1 - float64(i)/steps)
			peak, err := grid.Read(thermal.At(x, y), peaks)
			if err != nil {
				return s, err
			}
			if peak < grey {
				if i > 0 {
					x += meat.Thickness / steps * (grey - peak) / (outer - peak)
					s.rim = meat.Thickness - x
				}
				return s, nil
			}
			outer = peak
		}
		s.rim, s.all = meat.Thickness, true
		return s, nil
	}
	const fine = 1000 // cuts to the metre that look for the first that is right
	for i := int(length / 2 * fine); i >= 0; i-- {
		s, err := cut(float64(i) / fine)
		if err != nil {
			return out, err
		}
		if s.axis > out.long.axis+warmer || s.rim > out.long.rim+wider {
			break
		}
		out.right = s.fromEnd
	}
	for i := 0; float64(i)/100 <= length/2+1e-9; i++ {
		s, err := cut(min(float64(i)/100, length/2))
		if err != nil {
			return out, err
		}
		out.slices = append(out.slices, s)
	}
	return out, nil
}

// share is that of the slices that are right [-].
func (r *roll) share() float64 {
	if math.IsNaN(r.right) {
		return 0
	}
	return 1 - r.right/(r.length/2)
}

func report(to io.Writer, rolls []roll) error {
	fmt.Fprintf(to, "\n%-26s", "meat, cm long")
	for _, r := range rolls {
		fmt.Fprintf(to, " | %15.1f", 100*r.length)
	}
	fmt.Fprintf(to, " | %15s\n%-26s", "endless", "middle done after, min")
	for _, r := range rolls {
		fmt.Fprintf(to, " | %15.1f", r.time.Minutes())
	}
	last := rolls[len(rolls)-1]
	fmt.Fprintf(to, " | %15.1f\n\n%-26s", last.time.Minutes()*(1+last.late), "AT SERVING")
	for range len(rolls) + 1 {
		fmt.Fprintf(to, " | %7s %7s", "axis", "grey")
	}
	fmt.Fprintf(to, "\n%-26s", "slice, cm from the end")
	for range len(rolls) + 1 {
		fmt.Fprintf(to, " | %7s %7s", "°C", "rim mm")
	}
	fmt.Fprintln(to)
	for i := range last.slices {
		fmt.Fprintf(to, "%-26d", i)
		for _, r := range rolls {
			switch {
			case i >= len(r.slices):
				fmt.Fprintf(to, " | %15s", "")
			case r.slices[i].all:
				fmt.Fprintf(to, " | %7.1f %7s", r.slices[i].axis, "all")
			default:
				fmt.Fprintf(to, " | %7.1f %7.1f", r.slices[i].axis, 1e3*r.slices[i].rim)
			}
		}
		fmt.Fprintf(to, " | %7.1f %7.1f\n", last.long.axis, 1e3*last.long.rim)
	}
	conclude(to, rolls)
	_, err := fmt.Fprint(to, `
Caution: a computed temperature is no proof of safety. Local food codes and licensed practice
decide whether such a centre may be served; measure the coldest place with a thermometer.
`)
	return err
}

// enough is how far off the long roll's time may be for one that is called long [-].
const enough = 0.02

// conclude says what the numbers mean for a cook.
func conclude(to io.Writer, rolls []roll) {
	fmt.Fprintf(to, "\nCONCLUSION\nRight is a slice whose axis is at most %g K warmer and whose grey rim is at most %g mm wider\nthan the endless roll's.\n", warmer, 1e3*wider)
	for _, r := range rolls {
		fmt.Fprintf(to, "%.0f cm: ", 100*r.length)
		switch {
		case r.share() == 0:
			fmt.Fprint(to, "no slice is right")
		case r.right == 0:
			fmt.Fprint(to, "all slices are right")
		default:
			fmt.Fprintf(to, "slices are right from %.1f cm off each end, %.0f %% of them", 100*r.right, 100*r.share())
		}
		early := r.time.Minutes() * r.late
		switch {
		case math.Abs(r.late) <= enough:
			fmt.Fprintf(to, ";\nthe time of the endless roll serves, it is %.1f min off.\n", math.Abs(early))
		case r.late > 0:
			fmt.Fprintf(to, ";\nit is done %.0f min before the endless roll, whose time would overcook it.\n", early)
		default:
			fmt.Fprintf(to, ";\nit is done %.0f min after the endless roll, whose time would leave it underdone.\n", -early)
		}
	}
}
