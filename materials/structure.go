package materials

import (
	"fmt"
	"strings"
)

// Structure says how the phases of a food lie to each other and to the heat, and
// so which conductivity models are put together, from the inside out: solids with
// liquid water, then ice, then air. [Food.Conductivity] has the models.
type Structure uint8

// The structures.
const (
	// Compact is a food without grain: gels, doughs, vegetables, the tissue of
	// liver and of fat. Solids and liquid in parallel, ice by Levy, air in closed
	// pores.
	Compact Structure = iota
	// FibreAcross is meat or fish, the heat flowing across the fibres.
	FibreAcross
	// FibreAlong is meat or fish, the heat flowing along the fibres.
	FibreAlong
	// ClosedFoam is a whipped or proofed food: air in bubbles within a matrix.
	ClosedFoam
	// OpenPores is a crumb or crust, pores and matrix both connected.
	OpenPores
	// Layered is raw laminated pastry: sheets of fat and of dough across the heat.
	Layered
	// FatContinuous is a food of fat with the watery part in drops: butter,
	// margarine.
	FatContinuous
	// FatDispersed is a food with its fat in drops or pieces in the watery part:
	// cheese, milk, cream, egg, mayonnaise, sausage.
	FatDispersed

	structures
)

var structureNames = [structures]string{"compact", "fibre-across", "fibre-along", "closed-foam", "open-pores", "layered",
	"fat-continuous", "fat-dispersed"}

// String names the structure in the form [ParseStructure] reads.
func (s Structure) String() string {
	if s < structures {
		return structureNames[s]
	}
	return fmt.Sprintf("Structure(%d)", uint8(s))
}

// NameError is a name that stands for nothing known.
type NameError struct {
	What string   // what the name should be of
	Name string   // what was given
	Want []string // the names there are
}

// Error gives the name and those there are.
func (e *NameError) Error() string {
	return fmt.Sprintf("materials: unknown %s %q, want one of %s", e.What, e.Name, strings.Join(e.Want, ", "))
}

// ParseStructure reads a structure's name: compact, fibre-across, fibre-along,
// closed-foam, open-pores, layered, fat-continuous or fat-dispersed, in any case,
// with hyphens or spaces. An unknown name gives a [*NameError].
func ParseStructure(name string) (Structure, error) {
	if i := nameIndex(structureNames[:], name); i >= 0 {
		return Structure(i), nil
	}
	return 0, &NameError{"structure", name, structureNames[:]}
}

// nameIndex finds a name among others without regard to case, hyphens and spaces.
func nameIndex(names []string, name string) int {
	plain := strings.NewReplacer(" ", "", "-", "", "_", "")
	name = plain.Replace(name)
	for i, n := range names {
		if strings.EqualFold(plain.Replace(n), name) {
			return i
		}
	}
	return -1
}
