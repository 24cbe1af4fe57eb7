package safety

import (
	"encoding/binary"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// Whatever the numbers, checks end with an error or with findings that hold
// together: a margin's sign is that of the verdict, and a pass has one.
func FuzzCheck(f *testing.F) {
	seed := func(values ...float64) (data []byte) {
		for _, v := range values {
			data = binary.LittleEndian.AppendUint64(data, math.Float64bits(v))
		}
		return data
	}
	f.Add(seed(0, 5, 3600, 65, 9000, 65, 16000, 21, 30000, 4), uint8(Roast), uint8(Beef))
	f.Add(seed(0, 57, 0, 21, 0, 57, 1, 57), uint8(Poultry), uint8(Chicken))
	f.Add(seed(math.NaN(), 5), uint8(0), uint8(0))
	f.Add(seed(5, 5, 4, 4), uint8(200), uint8(1))
	f.Add(seed(0, 54.4, 6720, 54.4), uint8(Roast), uint8(Beef))
	f.Add(seed(-1e9, -273.15, 1e9, 1000), uint8(Fish), uint8(1))
	f.Add(seed(0, 0, 1e-312, 0, 2e-312, 5e-324), uint8(Fish), uint8(0))
	rules := Rules()
	f.Fuzz(func(t *testing.T, data []byte, food, animal uint8) {
		h := History{Place: "fuzz", Surface: food%2 == 0}
		for ; len(data) >= 16 && len(h.Time) < 200; data = data[16:] {
			h.Time = append(h.Time, math.Float64frombits(binary.LittleEndian.Uint64(data)))
			h.Temperature = append(h.Temperature, math.Float64frombits(binary.LittleEndian.Uint64(data[8:])))
		}
		facts := Facts{Food: Food(food), Animal: Animal(animal), WaterActivity: new(0.99), Fat: new(0.05), Cured: Yes,
			CookEnd: new(0.0), FromRoom: Yes, Thawing: Refrigerator, LabelledIntact: Yes}
		findings, err := Check([]History{h}, facts, rules...)
		if err != nil {
			require.Nil(t, findings)
			return
		}
		require.Len(t, findings, len(rules))
		for _, found := range findings {
			switch found.Verdict {
			case Pass:
				require.NotNil(t, found.Margin)
				require.GreaterOrEqual(t, *found.Margin, 0.0, "%v", found)
			case Fail:
				require.False(t, found.Margin != nil && *found.Margin > 0, "%v", found)
			default:
				require.Nil(t, found.Margin)
				require.NotEmpty(t, found.Text)
			}
			require.False(t, found.Margin != nil && (math.IsNaN(*found.Margin) || math.IsInf(*found.Margin, 0)), "%v", found)
		}
		for _, k := range inactivations {
			got, err := k.LogReduction(h)
			require.NoError(t, err)
			require.False(t, math.IsNaN(got) || math.IsInf(got, 0) || got < 0, "%v", got)
		}
		for _, g := range growths {
			got, err := g.LogGrowth(h)
			require.NoError(t, err)
			require.False(t, math.IsNaN(got) || math.IsInf(got, 0) || got < 0, "%v", got)
		}
	})
}
