package validation

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"example.com/thawfront/materials"
	"example.com/thawfront/phasechange"
)

// transportGroup holds how readily water passes a food, without any run.
var transportGroup = group{
	name: "water transport",
	reason: "Diffusivities and permeabilities of one food differ by decades between sources, so that deviation and tolerance are factors: 1.05 to 2.5, " +
		"the wider the less like the material and our food are, times what a printed range spans, of which the published value is the geometric middle. " +
		"Water in carrots, dough, meat and dry beef, and the vapour of bread, were fitted to these sources or to the front in baking bread, so those rows check the formulas and not the food.",
	checks: transportChecks,
}

// transportWorks are the books and papers that a row's source ends with; what stands
// before is the material.
var transportWorks = []string{
	"Drying of Foods, Vegetables and Fruits, ed. Jangam, Law and Mujumdar 2010",
	"Sa-adchom and others 2011", "Purlis and Salvadori 2009", "Tong and Lund 1990",
	"Shellhammer and Krochta 1997", "Morillon and others 2002",
}

// transportSource splits the source of a row into the work and the material.
func transportSource(r propRow) (work, material string) {
	work = r["source"]
	for _, w := range transportWorks {
		if before, found := strings.CutSuffix(work, w); found {
			work, material = w, strings.TrimRight(strings.TrimSuffix(strings.TrimSuffix(before, " by "), " in "), ", ")
		}
	}
	if strings.Contains(r["status"], "memory") {
		work += " (from memory)"
	}
	return work, material
}

// transportCheck is the check of a row whose range low to high may be left by a factor.
func transportCheck(r propRow, what, unit string, ours float64) check {
	low, high := r.number("low"), r.number("high")
	work, material := transportSource(r)
	if material != "" {
		what += " (" + material + ")"
	}
	return check{source: work, quantity: what + ", " + unit, published: math.Sqrt(low * high), ours: ours,
		factor: r.number("factor") * math.Sqrt(high/low), known: transportLimit(r["limit"])}
}

// transportLimit is the reason of a limit, in place of a row that says to see another.
func transportLimit(text string) string {
	switch {
	case text == "as bread":
		text = "the front in baking bread lies near 100 °C only if pores pass a tenth of what dry bread suggests"
	case text == "as moist bread", text == "as at 20 °C":
		text = "drying moist crumb finds up to a thousand times the liquid's diffusivity of the baking models; with it no crust would form, while the crumb of bread keeps its water (Zanoni, Peri and Pierucci 1993)"
	case strings.HasPrefix(text, "as hydrogenated palm oil; "):
		text = "a film with flaws, " + text
	}
	return text
}

func transportChecks() ([]check, error) {
	diffusivities, err := propEach("water-transport/diffusivity.csv", func(r propRow) (check, bool, error) {
		ours, err := transportDiffusivity(r["food"], r.number("t"), r.number("moisture"))
		return transportCheck(r, fmt.Sprintf("diffusivity of water in %s at %s °C with %s kg per kg of dry non-fat solids", r["food"], r["t"], r["moisture"]), "m²/s", ours), true, err
	})
	if err != nil {
		return nil, err
	}
	permeabilities, err := propEach("water-transport/permeability.csv", func(r propRow) (check, bool, error) {
		food, err := materials.Find(r["food"])
		if err != nil {
			return check{}, false, err
		}
		w, _ := food.WaterTransport()
		return transportCheck(r, fmt.Sprintf("permeability of %s to vapour at %s °C", r["food"], r["t"]), "kg/(m s Pa)",
			w.VapourPermeability(r.number("t"), r.number("melted"))), true, nil
	})
	return append(diffusivities, permeabilities...), err
}

// transportDiffusivity is the effective diffusivity [m²/s] of a food at t [°C] and a
// moisture x [kg/kg of dry non-fat solids]: of liquid, and of vapour down the gradient
// of the water activity alone. Samples shrink as they dry, those with pores keep them.
func transportDiffusivity(name string, t, x float64) (float64, error) {
	food, err := materials.Find(name)
	if err != nil {
		return 0, err
	}
	nonFat := func(c materials.Composition) float64 { return c.Protein + c.Carbohydrate + c.Fibre + c.Ash }
	dry := nonFat(food.Composition)
	sample, err := food.WithWater(x * dry / (x*dry + food.Composition.Solids()))
	if err != nil {
		return 0, err
	}
	const step = 1e-4
	slope := (food.Isotherm.Activity(x+step) - food.Isotherm.Activity(x-step)) / (2 * step)
	w, _ := food.WaterTransport()
	vapour := w.VapourPermeability(t, 0) * phasechange.SaturationPressure(t) * slope / (sample.Density() * nonFat(sample.Composition))
	return w.LiquidDiffusivity(t, x) + vapour, nil
}

func TestTransport(t *testing.T) { solverTest(t, transportGroup) }
