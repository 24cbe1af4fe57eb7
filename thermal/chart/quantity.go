package chart

// Quantity is what a chart shows.
type Quantity uint8

// The quantities.
const (
	Temperature   Quantity = iota
	WaterContent           // liquid and ice, per kg of original food
	WaterActivity          // not known of food given by measured curves
)

// String names the quantity.
func (q Quantity) String() string {
	switch q {
	case Temperature:
		return "temperature"
	case WaterContent:
		return "water content"
	case WaterActivity:
		return "water activity"
	}
	return "unknown quantity"
}

func (q Quantity) unit(s Settings) string {
	switch {
	case q == WaterContent:
		return "kg per kg of original food"
	case q == WaterActivity:
		return "0 to 1"
	case s.Fahrenheit:
		return "°F"
	}
	return "°C"
}
