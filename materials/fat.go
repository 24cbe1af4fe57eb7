package materials

import "fmt"

// FatKind says which fat a food holds, and so at which temperatures how much heat
// of melting is taken up. The melting curves are in package phasechange.
type FatKind uint8

// The fats.
const (
	// NoFat counts all fat as liquid at every temperature: no heat of melting.
	NoFat FatKind = iota
	// MilkFat is the fat of butter, cream and cheese.
	MilkFat
	// Lard is rendered pork fat; it stands for the fat of pork.
	Lard
	// Tallow is rendered beef fat; it stands for the fat of beef and veal.
	Tallow
	// PoultryFat is the fat of chicken, duck, goose and turkey.
	PoultryFat
	// FishOil is the fat of fish.
	FishOil
	// SheepFat is the fat of lamb and mutton.
	SheepFat
	// PlantOil is an oil that is liquid in the kitchen: rapeseed, olive, sunflower.
	PlantOil
	// CocoaButter is the fat of chocolate, in its stable crystal form.
	CocoaButter
	// CoconutOil is the fat of coconut flesh.
	CoconutOil
	// PalmOil is the fat of the oil palm's flesh, unfractionated.
	PalmOil
	// Shortening is a plastic all-purpose vegetable fat.
	Shortening
	// PastryMargarine is a firm laminating fat with a high melting end.
	PastryMargarine

	fatKinds
)

var fatNames = [fatKinds]string{
	"none", "milk-fat", "lard", "tallow", "poultry-fat", "fish-oil", "sheep-fat", "plant-oil",
	"cocoa-butter", "coconut-oil", "palm-oil", "shortening", "pastry-margarine",
}

// String names the fat in the form [ParseFatKind] reads.
func (k FatKind) String() string {
	if k < fatKinds {
		return fatNames[k]
	}
	return fmt.Sprintf("FatKind(%d)", uint8(k))
}

// ParseFatKind reads a fat's name: none, milk-fat, lard, tallow, poultry-fat,
// fish-oil, sheep-fat, plant-oil, cocoa-butter, coconut-oil, palm-oil, shortening
// or pastry-margarine, in any case, with hyphens or spaces. An unknown name gives a
// [*NameError].
func ParseFatKind(name string) (FatKind, error) {
	if nameIndex([]string{"no fat"}, name) == 0 {
		return NoFat, nil
	}
	if i := nameIndex(fatNames[:], name); i >= 0 {
		return FatKind(i), nil
	}
	return 0, &NameError{"fat kind", name, fatNames[:]}
}
