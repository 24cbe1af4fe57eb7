package oven

// The kinds of oven and of cold cabinets are typical, from memory, no source: appliances
// differ by half and more in every figure. What is known of yours is better. All begin
// at the temperature of the kitchen.

// DomesticStill is a household oven of 60 l without fan, heated from above and below.
func DomesticStill() *Oven {
	return &Oven{Power: 2200, Volume: 0.06, Heater: 1100, HeaterConductance: 5, Radiant: 0.6, Air: 520, Walls: 5500, Exchange: 13, Loss: 4, Vent: 0.0005,
		Door: Door{0.42, 0.32}, H: 7, Emissivity: 0.9, Thermostat: Thermostat{Hysteresis: 20}, Room: 20, RoomVapour: 0.0115, Start: 20}
}

// DomesticFan is a household oven of 60 l with a ring heater around its fan.
func DomesticFan() *Oven {
	return &Oven{Power: 2500, Volume: 0.06, Heater: 1000, HeaterConductance: 7, Radiant: 0.15, Air: 640, Walls: 7200, Exchange: 17, Loss: 4, Vent: 0.001,
		Door: Door{0.42, 0.32}, H: 20, StillH: 7, Emissivity: 0.9, Thermostat: Thermostat{Hysteresis: 12}, Room: 20, RoomVapour: 0.0115, Start: 20}
}

// Combi is a small professional oven for six trays, with a strong fan and even control.
func Combi() *Oven {
	return &Oven{Power: 9000, Volume: 0.25, Heater: 2400, HeaterConductance: 25, Radiant: 0.1, Air: 2000, Walls: 25000, Exchange: 85, Loss: 9, Vent: 0.004,
		Door: Door{0.5, 0.6}, H: 40, StillH: 8, Emissivity: 0.9, Thermostat: Thermostat{Band: 15}, Room: 25, RoomVapour: 0.015, Start: 25}
}

// Deck is a deck of a baker's oven with a thick stone floor, vault and sluggish control;
// put a Tray of stone into it for the floor.
func Deck() *Oven {
	return &Oven{Power: 6000, Volume: 0.25, Heater: 4000, HeaterConductance: 15, Radiant: 0.9, Air: 300, Walls: 150000, Exchange: 18, Loss: 8, Vent: 0.001,
		Door: Door{1.0, 0.18}, H: 7, Emissivity: 0.9, Thermostat: Thermostat{Hysteresis: 10}, Room: 25, RoomVapour: 0.015, Start: 25}
}

// Refrigerator is a household refrigerator of 250 l, for a set point of about 4 °C.
func Refrigerator() *Oven {
	return &Oven{Power: 90, Cools: true, Volume: 0.25, Heater: 1500, HeaterConductance: 8, Air: 600, Walls: 20000, Exchange: 15, Loss: 1.8, Vent: 2e-5,
		Door: Door{0.5, 1.2}, H: 5, Emissivity: 0.9, Thermostat: Thermostat{Hysteresis: 4}, Room: 20, RoomVapour: 0.0115, Start: 20}
}

// Freezer is a household freezer of 200 l, for a set point of about -18 °C.
func Freezer() *Oven {
	return &Oven{Power: 120, Cools: true, Volume: 0.2, Heater: 2500, HeaterConductance: 10, Air: 600, Walls: 18000, Exchange: 15, Loss: 1.2, Vent: 1e-5,
		Door: Door{0.5, 1.0}, H: 6, Emissivity: 0.9, Thermostat: Thermostat{Hysteresis: 4}, Room: 20, RoomVapour: 0.0115, Start: 20}
}

// BlastChiller is a professional cabinet for five trays, for set points from 3 down to
// about -35 °C.
func BlastChiller() *Oven {
	return &Oven{Power: 2500, Cools: true, Volume: 0.3, Heater: 6000, HeaterConductance: 120, Air: 600, Walls: 25000, Exchange: 100, Loss: 3, Vent: 1e-4,
		Door: Door{0.6, 0.7}, H: 25, StillH: 6, Emissivity: 0.9, Thermostat: Thermostat{Hysteresis: 4}, Room: 25, RoomVapour: 0.015, Start: 25}
}
