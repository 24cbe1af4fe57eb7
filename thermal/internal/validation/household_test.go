package validation

import (
	"fmt"
	"math"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/thermal"
)

func cookingRoasts() ([]check, error) {
	beef, err := materials.Find("beef round, raw")
	if err != nil {
		return nil, err
	}
	var checks []check
	for _, way := range cookingBoth {
		for _, oven := range []float64{175, 225} {
			var minutes [2]float64
			for i, start := range []float64{5, -20} {
				if minutes[i], err = cookingUntil(solverDish(geometry.Cylinder{}, beef, 0.05, start), thermal.StillOven(oven), thermal.Above(thermal.Centre(), 70), way); err != nil {
					return nil, err
				}
			}
			c, err := cookingSpan("frozen to chilled", fmt.Sprintf("beef, cylinder 100 mm, still oven at %g °C, time to 70 °C from -20 °C over that from 5 °C", oven), way, minutes[1]/minutes[0])
			if err != nil {
				return nil, err
			}
			if way == cookingWet && oven == 175 {
				c.known = slowRoast // both, the one from 5 °C more
			}
			checks = append(checks, c)
		}
	}
	balls, err := cookingBalls(beef)
	return append(checks, balls...), err
}

// cookingBalls roasts 1.8 kg as a ball: the most compact it can be. By heat alone no
// water evaporates below the boiling point and no juice runs, so that losses are those
// with water moving.
func cookingBalls(beef materials.Food) ([]check, error) {
	const mass = 1.8
	radius := math.Cbrt(mass / beef.Density() * 3 / 4 / math.Pi)
	var checks []check
	for _, c := range []struct {
		key, what string
		end       float64
		way       cookingWay
		ours      func(*thermal.Run) float64
	}{
		{"rib from the refrigerator", "time", 60, cookingHeat, func(r *thermal.Run) float64 { return r.Duration().Minutes() / mass }},
		{"rib from the refrigerator", "time", 60, cookingWet, func(r *thermal.Run) float64 { return r.Duration().Minutes() / mass }},
		{"loss of a rare roast", "loss of weight", 60, cookingWet, func(r *thermal.Run) float64 { return 100 * r.Lost() / mass }},
		{"loss of a well-done roast", "loss of weight", 77, cookingWet, func(r *thermal.Run) float64 { return 100 * r.Lost() / mass }},
	} {
		run, err := solverRun(solverDish(geometry.Sphere{}, beef, radius, 4), thermal.StillOven(163), thermal.Above(thermal.Centre(), c.end), c.way.settings)
		if err != nil {
			return nil, err
		}
		made, err := cookingSpan(c.key, fmt.Sprintf("beef of %g kg as a ball, still oven at 163 °C, 4 to %g °C: %s", mass, c.end, c.what), c.way, c.ours(run))
		if err != nil {
			return nil, err
		}
		checks = append(checks, made)
	}
	return checks, nil
}

func cookingPatties() ([]check, error) {
	mince, err := materials.Find("beef mince, raw")
	if err != nil {
		return nil, err
	}
	var checks []check
	for _, way := range cookingBoth {
		for _, h := range []float64{250, 650} {
			minutes, err := cookingUntil(solverDish(geometry.HalfSlab{}, mince, 0.0105/2, -18), thermal.Surroundings{Fluid: 190, H: h}, thermal.Above(thermal.Centre(), 70), way)
			if err != nil {
				return nil, err
			}
			c, err := cookingSpan("patty", fmt.Sprintf("beef patty 10.5 mm between plates of 190 °C, %g W/(m² K), -18 to 70 °C", h), way, 60*minutes)
			if err != nil {
				return nil, err
			}
			checks = append(checks, c)
		}
	}
	return checks, nil
}

// cookingThawing thaws with dew settling on what is bare; the pack is closed.
func cookingThawing() ([]check, error) {
	foods := map[string]materials.Food{}
	for _, name := range []string{"beef sirloin, raw", "beef mince, raw", "pork loin, raw"} {
		food, err := materials.Find(name)
		if err != nil {
			return nil, err
		}
		foods[name] = food
	}
	steak, err := cookingUntil(solverDish(geometry.HalfSlab{}, foods["beef sirloin, raw"], 0.0125, -18), thermal.Refrigerator(4), thermal.IceGone(), cookingWet)
	if err != nil {
		return nil, err
	}
	pack, err := cookingUntil(solverDish(geometry.HalfSlab{}, foods["beef mince, raw"], 0.0125, -18), thermal.WaterBath(12), thermal.IceGone(), cookingHeat)
	if err != nil {
		return nil, err
	}
	var core [2]float64
	for i, m := range []thermal.Medium{thermal.Refrigerator(4), thermal.Room(20)} {
		if core[i], err = cookingUntil(solverDish(geometry.Cylinder{}, foods["pork loin, raw"], 0.03, -6), m, thermal.Above(thermal.Centre(), 0), cookingWet); err != nil {
			return nil, err
		}
	}
	var checks []check
	for _, c := range []struct {
		key, what string
		way       cookingWay
		ours      float64
	}{
		{"steak in the refrigerator", "beef steak 25 mm, refrigerator at 4 °C, from -18 °C to the last ice", cookingWet, steak / 60},
		{"pack in cold water", "minced beef, flat pack 25 mm, water at 12 °C, from -18 °C to the last ice", cookingHeat, pack},
		{"refrigerator to room", "pork, cylinder 60 mm, centre from -6 to 0 °C: time in a refrigerator at 4 °C over that in a room at 20 °C", cookingWet, core[0] / core[1]},
	} {
		made, err := cookingSpan(c.key, c.what, c.way, c.ours)
		if err != nil {
			return nil, err
		}
		checks = append(checks, made)
	}
	return checks, nil
}
