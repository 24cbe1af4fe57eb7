package materials_test

import (
	"fmt"

	"example.com/thawfront/materials"
)

func Example() {
	// A filling from its composition, then a dough of two foods of the table.
	filling := materials.Food{
		Name:        "filling",
		Composition: materials.Composition{Water: 0.70, Protein: 0.18, Fat: 0.10, Ash: 0.02, Salt: 0.01},
		FatKind:     materials.Lard,
	}
	if err := filling.Validate(); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%s: %.0f kg/m³, freezes at %.1f °C, %.2f W/(m K) at 20 °C\n", filling.Name, filling.Density(),
		filling.InitialFreezingPoint(), filling.Conductivity(20, filling.Composition.Water, 0))

	dough, err := materials.Mix("dough",
		materials.Part{Food: materials.MustFind("wheat flour"), Mass: 500},
		materials.Part{Food: materials.MustFind("water"), Mass: 300})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%s: %.0f %% water\n", dough.Name, 100*dough.Composition.Water)

	_, err = materials.Find("wheat flower")
	fmt.Println(err != nil)
	// Output:
	// filling: 1045 kg/m³, freezes at -1.8 °C, 0.50 W/(m K) at 20 °C
	// dough: 45 % water
	// true
}
