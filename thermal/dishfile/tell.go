package dishfile

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"example.com/thawfront/thermal"
	"example.com/thawfront/thermal/oven"
	"example.com/thawfront/thermal/verdict"
)

// tell adds to a timeline what the appliances did: how far the air of an oven fell at each
// opening of its door and when it was back, and the heat that went through each in a run.
func (c *chain) tell(timeline []verdict.Moment) []verdict.Moment {
	begun, first := time.Duration(0), 0
	for i, run := range c.runs {
		if i >= len(c.amid) {
			break // no appliances
		}
		for j := range run.Stages {
			for _, m := range c.file.openings(first+j, c.amid[i], run, j) {
				m.Run, m.Time = i+1, m.Time+begun.Seconds()
				timeline = append(timeline, m)
			}
		}
		begun, first = begun+run.Duration(), first+len(run.Schedule)
		for _, a := range c.file.Appliances {
			if text := c.amid[i][a.Name].did(run); text != "" {
				timeline = append(timeline, verdict.Moment{Time: begun.Seconds(), Run: i + 1, Kind: "appliance", Text: a.Name + ": " + text})
			}
		}
	}
	slices.SortStableFunc(timeline, func(a, b verdict.Moment) int { return cmp.Compare(a.Time, b.Time) })
	return timeline
}

// openings tells of the doors that opened in a stage of the file, which is stage j of a
// run; times are those of the run.
func (f *File) openings(stage int, amid plants, run *thermal.Run, j int) (out []verdict.Moment) {
	begins, ends := run.Stages[j].Start, run.Stages[j].End
	for name, s := range amid.sets(&f.Stages[stage]) {
		o, ok := s.(*oven.Setting)
		if !ok {
			continue
		}
		for i, x := range o.Openings {
			at, until, then := begins+x.At, ends, "in this stage"
			if at >= ends {
				break // the stage was over before
			}
			if i+1 < len(o.Openings) && begins+o.Openings[i+1].At < ends {
				until, then = begins+o.Openings[i+1].At, "before it opens again"
			}
			text := fmt.Sprintf("%s: door open for %.4g s, %s", name, x.For.Seconds(), fell(o, run, at, x.For, until, then))
			out = append(out, verdict.Moment{Time: at.Seconds(), Kind: "door", Text: text})
		}
	}
	slices.SortStableFunc(out, func(a, b verdict.Moment) int { return cmp.Or(cmp.Compare(a.Time, b.Time), cmp.Compare(a.Text, b.Text)) })
	return out
}

// fell says how far the air of an oven went at an opening of its door, and when it had
// come back to where it was, or to the set point if that was nearer to the room. It looks
// each second at first, later each half percent of the time that has passed.
func fell(s *oven.Setting, run *thermal.Run, at, open, until time.Duration, then string) string {
	o, sign := s.Oven, 1.0
	if s.Oven.Cools {
		sign = -1
	}
	before := o.Read(run, at).Air
	level := before
	if set := s.To + o.Thermostat.Offset; !math.IsInf(s.To, -1) && sign*(before-set) > 0 {
		level = set
	}
	extreme := before
	for t := at; t <= until; t += max(time.Second, (t-at)/200) {
		air := o.Read(run, t).Air
		if sign*(extreme-air) > 0 {
			extreme = air
		}
		if t > at+open && sign*(air-level) >= 0 {
			return fmt.Sprintf("air from %.0f to %.0f °C, back at %.0f °C after %.1f min", before, extreme, level, (t - at).Minutes())
		}
	}
	return fmt.Sprintf("air from %.0f to %.0f °C, not back at %.0f °C %s", before, extreme, level, then)
}

// did says what an appliance gave or took in a run; nothing if it was not in it.
func (p plant) did(run *thermal.Run) string {
	in := func(body any) bool {
		return slices.ContainsFunc(run.Bodies, func(b thermal.BodyResult) bool { return b.Body == body })
	}
	end := run.Duration()
	switch {
	case p.oven != nil && in(p.oven):
		x := p.oven.Read(run, end)
		if p.oven.Cools {
			return fmt.Sprintf("%s taken out by its coil, air at %.0f °C", kilowattHours(-x.Delivered), x.Air)
		}
		return fmt.Sprintf("%s from its heater, %s lost through the walls, air at %.0f °C", kilowattHours(x.Delivered), kilowattHours(x.Escaped), x.Air)
	case p.bath != nil && in(p.bath):
		x := p.bath.Read(run, end)
		text := fmt.Sprintf("%s from its heater, now at %.0f °C", kilowattHours(x.Delivered), x.Temperature)
		if x.Ice > 0 {
			text += fmt.Sprintf(", %.3g kg of it frozen", x.Ice)
		}
		if x.Gone > 0 {
			text += fmt.Sprintf(", %.0f g of water gone", x.Gone*1e3)
		}
		return text
	}
	return ""
}

func kilowattHours(joules float64) string { return fmt.Sprintf("%.2f kWh", joules/3.6e6) }
