package quality

// Report is what became of a dish by the end of a run.
type Report struct {
	Layers  []LayerReport `json:"layers"` // in the order of the dish
	Surface Surface       `json:"surface"`
}

// Layer is the report of a layer, or nil.
func (r *Report) Layer(name string) *LayerReport {
	for i := range r.Layers {
		if r.Layers[i].Name == name {
			return &r.Layers[i]
		}
	}
	return nil
}

// Unknown is something that cannot be told, and why.
type Unknown struct {
	What string `json:"what"`
	Why  string `json:"why"`
}

// LayerReport is what became of a layer.
type LayerReport struct {
	Name     string     `json:"name"`
	Kind     string     `json:"kind"`
	Peak     Spread     `json:"peak"` // of the highest temperatures, earlier runs of a chain included
	End      Spread     `json:"end"`  // of the temperatures at the end of the run
	Water    Water      `json:"water"`
	Doneness []Doneness `json:"doneness,omitempty"`
	Rims     []Rim      `json:"rims,omitempty"` // one a limit
	// Collagen is the share [-] of collagen and sarcoplasmic proteins of Meat that has
	// denatured: meat has shrunk, and collagen can begin to dissolve. It is no
	// tenderness: dissolving takes hours more, depends on the muscle and the age of the
	// animal, and no rate with a source was found.
	Collagen *Degree `json:"collagen,omitempty"`
	// Starch is the share [-] of the starch of Dough that has gelatinised.
	Starch  *Starch   `json:"starch,omitempty"`
	Unknown []Unknown `json:"unknown,omitempty"`
}

// Spread is how even a temperature is within a layer: by cells, the mean and the
// standard deviation by mass.
type Spread struct {
	Least     float64 `json:"least_C"`     // [°C]
	Mean      float64 `json:"mean_C"`      // [°C]
	Most      float64 `json:"most_C"`      // [°C]
	Deviation float64 `json:"deviation_K"` // [K]
}

// Degree is a share that has reacted: by cells, the mean by mass.
type Degree struct {
	Least float64 `json:"least"` // [-] where least has
	Mean  float64 `json:"mean"`  // [-]
	Most  float64 `json:"most"`  // [-] where most has
}

// Starch is how far a crumb has set.
type Starch struct {
	Degree
	Set bool `json:"set"` // whether it is at least CrumbSet everywhere
}

// CrumbSet is the share [-] of gelatinised starch at the least set place from which on
// a crumb counts as baked: 98 % (Zanoni et al. 1995, from memory).
const CrumbSet = 0.98

// Water is the juiciness of a layer: what water it has kept. A run in which water
// does not move knows of neither juice nor evaporation and leaves all nil.
type Water struct {
	// Kept is the water at the end over that of the layer's food as it was given to the
	// dish [-]. Above 1 it has taken up more.
	Kept *float64 `json:"kept,omitempty"`
	// KeptInRun is the same over the water at the start of this run [-].
	KeptInRun *float64 `json:"kept_in_run,omitempty"`
	// Juice [kg] is what the layer has let go in this run.
	Juice *float64 `json:"juice_kg,omitempty"`
}

// Doneness is a layer on a scale.
type Doneness struct {
	Scale  string `json:"scale"`
	Source string `json:"source"`
	// Bands are what is below the scale and its steps, in order; their shares sum to 1.
	// Empty if a quantity was not followed.
	Bands []Band `json:"bands,omitempty"`
}

// Share is that of the band of a name [-]; known is false if there is none.
func (d Doneness) Share(band string) (share float64, known bool) {
	for _, b := range d.Bands {
		if b.Name == band {
			return b.Share, true
		}
	}
	return 0, false
}

// Band is the part of a layer that is at one step of a scale.
type Band struct {
	Name  string  `json:"name"`
	Share float64 `json:"share"` // [-] of the layer's mass as given
}

// Rim is what has passed a limit. Nil if a quantity was not followed.
type Rim struct {
	Step
	// Width [m] of the rim, from the layer's outer face inwards, in the thickness as given.
	Width *float64 `json:"width_m,omitempty"`
	// Share [-] of the layer's mass as given, at its inner face too.
	Share *float64 `json:"share,omitempty"`
}

// Surface is the crust of the dish, below its outermost surface; of a slab below its
// top.
type Surface struct {
	Layer string `json:"layer"` // the outermost
	// Lightness is L* [-] of the crust of bread: 85 is dough, 65 to 75 golden, 50 to 60
	// brown (from memory, no source).
	Lightness *Colour `json:"lightness,omitempty"`
	// Difference is ΔE [-] of the crust of bread from its dough: 52 is burnt (Zanoni,
	// Peri & Bruno 1995).
	Difference *Colour `json:"colour_difference,omitempty"`
	// Dry is the zone drier than thermal.Crispness. In a run in which water does not
	// move it is what steam has left behind, as it was before moisture can come back.
	Dry *Dry `json:"dry,omitempty"`
	// Activity is the water activity [-] of the outermost cell. Nil in a run in which water
	// does not move.
	Activity *float64 `json:"water_activity,omitempty"`
	// Crisp says whether the surface is drier than thermal.Crispness; nil is not known.
	Crisp   *bool     `json:"crisp,omitempty"`
	Unknown []Unknown `json:"unknown,omitempty"`
}

// Colour is the colour of a crust.
type Colour struct {
	Surface float64 `json:"surface"` // [-] of the outermost cell
	Outer   float64 `json:"outer"`   // [-] mean along Depth
	Depth   float64 `json:"depth_m"` // [m] OuterDepth, or the layer if it is thinner; in the thickness as given
}

// OuterDepth [m] is how deep below the surface the mean colour goes: a millimetre.
const OuterDepth = 1e-3

// Dry is a dry zone below the surface.
type Dry struct {
	Thickness float64 `json:"thickness_m"`     // [m] as risen
	Water     float64 `json:"water_kg_per_kg"` // [kg/kg] of the food without its water; 0 if there is no zone
	Activity  float64 `json:"water_activity"`  // [-] mean; 0 if there is no zone
}
