package safety_test

import (
	"fmt"

	"example.com/thawfront/thermal/safety"
)

// A beef roast that is gently cooked, and its middle's history.
func ExampleCheck() {
	middle := safety.History{
		Place:       "middle",
		Time:        []float64{0, 9000, 13000, 20000}, // [s]
		Temperature: []float64{4, 55.5, 56, 56.3},     // [°C]
	}
	facts := safety.Facts{Food: safety.Roast, Animal: safety.Beef}
	findings, err := safety.Check([]safety.History{middle}, facts,
		safety.MustFind("food-code-roast-time"), safety.MustFind("food-code-roast-oven"), safety.MustFind("cfr-beef-lethality"))
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, f := range findings {
		fmt.Println(f.Verdict, f.Number, "-", f.Text)
	}
	fmt.Println(safety.Overall(findings))
	// Output:
	// pass 3-401.11(B)(2) - at or above 55 °C for 89 min
	// cannot tell 3-401.11(B)(1) - not known: the kind of oven
	// cannot tell 9 CFR 318.17(a)(1) - not known: its water activity
	// cannot tell
}

func ExampleInactivation_LogReduction() {
	set, err := safety.FindInactivation("e. coli o157:h7, ground beef")
	if err != nil {
		fmt.Println(err)
		return
	}
	reduction, err := set.LogReduction(safety.History{Time: []float64{0, 600}, Temperature: []float64{50, 65}})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f log10\n", reduction)
	// Output:
	// 3.65 log10
}
