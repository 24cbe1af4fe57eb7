package materials

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestCompositionValidate(t *testing.T) {
	good := Composition{Water: 0.7, Protein: 0.2, Fat: 0.06, Carbohydrate: 0.02, Fibre: 0.01, Ash: 0.01, Salt: 0.005, Sugar: 0.02}
	require.NoError(t, good.Validate())
	tests := []struct {
		name   string
		change func(*Composition)
		faults []string
	}{
		{"negative", func(c *Composition) { c.Protein, c.Fat = -0.1, 0.36 }, []string{"protein"}},
		{"NaN", func(c *Composition) { c.Fibre = math.NaN() }, []string{"fibre", "sum"}},
		{"infinite", func(c *Composition) { c.Water = math.Inf(1) }, []string{"water", "sum"}},
		{"short", func(c *Composition) { c.Water = 0.698 }, []string{"sum"}},
		{"salt over ash", func(c *Composition) { c.Salt = 0.02 }, []string{"salt"}},
		{"sugar over carbohydrate", func(c *Composition) { c.Sugar = 0.03 }, []string{"sugar"}},
		{"NaN salt", func(c *Composition) { c.Salt = math.NaN() }, []string{"salt"}},
		{"empty", func(c *Composition) { *c = Composition{} }, []string{"sum"}},
		{"several", func(c *Composition) { c.Ash, c.Sugar, c.Protein = -1, 1, 7 }, []string{"protein", "ash", "salt", "sugar", "sum"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			c := good
			test.change(&c)
			err := c.Validate()
			require.Error(t, err)
			var names []string
			for _, e := range err.(interface{ Unwrap() []error }).Unwrap() {
				var bad *CompositionError
				require.True(t, errors.As(e, &bad))
				names = append(names, bad.Component)
				assert.True(t, strings.HasPrefix(e.Error(), "materials: composition: "+bad.Component+" "), e.Error())
			}
			assert.Equal(t, test.faults, names)
		})
	}
}

func TestNormalize(t *testing.T) {
	printed := Composition{Water: 0.717, Protein: 0.2124, Fat: 0.044, Ash: 0.0108, Salt: 0.001} // ASHRAE lean sirloin
	c, err := printed.Normalize()
	require.NoError(t, err)
	assert.InDelta(t, 1, c.Sum(), 1e-15)
	assert.NoError(t, c.Validate())
	assert.InDelta(t, 0.717/0.9842, c.Water, 1e-12)
	assert.InDelta(t, printed.Salt/printed.Ash, c.Salt/c.Ash, 1e-12)
	assert.InDelta(t, 1, c.Water+c.Solids(), 1e-15)
	for _, bad := range []Composition{{}, {Water: 0.89}, {Water: 0.8, Protein: 0.31}, {Water: 1.2, Fat: -0.2}, {Water: math.NaN()}, {Water: 1, Salt: 0.1}} {
		_, err := bad.Normalize()
		var e *CompositionError
		assert.True(t, errors.As(err, &e), "%+v", bad)
	}
}
