package site

// Values is what to write into a site: by sheet, then by row (item sheets have
// one), then by field name, each as text with its unit.
type Values map[string][]map[string]string

// Example gives the demo site: a trout hatchery on a storm-muddied beck, invented
// from end to end. With a bench file named, the coagulant's dose comes from it.
func Example(bench, target string) Values {
	v := Values{}
	for _, s := range Sheets() {
		if s.List {
			continue
		}
		row := map[string]string{}
		for _, f := range s.Fields {
			if f.Example != "" && !(s.Name == "Flow" && (f.Name == "log time column" || f.Name == "log flow column" || f.Name == "log unit")) {
				row[f.Name] = example(f)
			}
		}
		v[s.Name] = []map[string]string{row}
	}
	alum := map[string]string{"name": "alum", "product": "alum-liquid", "basis": "as alum 14-hydrate", "strength": "48.5 %",
		"strength counts": "as alum 14-hydrate", "density": "1.335 kg/L", "stock": "alum stock", "pump": "pump 1", "dose in storm water": "20 mg/L"}
	if bench == "" {
		alum["dose"], alum["dose low"], alum["dose high"] = "12.5 mg/L", "10.5 mg/L", "14 mg/L"
	} else {
		alum["bench sheet"], alum["target"] = bench, target
	}
	v["Chemicals"] = []map[string]string{
		alum,
		{"name": "polymer", "product": "apam-dry", "dose": "0.2 mg/L", "dose low": "0.15 mg/L", "dose high": "0.3 mg/L", "basis": "as product", "stock": "polymer stock", "pump": "pump 2", "dose in storm water": "0.3 mg/L"},
	}
	v["Stocks"] = []map[string]string{
		{"name": "alum stock", "product in stock": "150 g/L", "tank": "alum tank", "life": "24 h", "work": "15 min"},
		{"name": "polymer stock", "product in stock": "1 g/L", "tank": "polymer tank", "make-up tank": "polymer mixer", "work": "15 min"},
	}
	v["Pumps"] = []map[string]string{
		{"name": "pump 1", "largest rate": "1.8 L/h", "least rate": "0.18 L/h", "knob step": "1 %", "knobs": KnobSpeed, "stroke now": "100 %", "follows signal": "no", "other heads": "4.5 L/h"},
		{"name": "pump 2", "largest rate": "1.8 L/h", "least rate": "0.18 L/h", "knob step": "1 %", "knobs": KnobSpeed, "stroke now": "100 %", "follows signal": "no", "other heads": "4.5 L/h"},
	}
	v["Drawdown"] = []map[string]string{
		{"pump": "pump 1", "speed": "20 %", "stroke": "100 %", "volume": "11.2 mL", "time": "120 s", "date": "2026-03-01"},
		{"pump": "pump 1", "speed": "50 %", "stroke": "100 %", "volume": "29.5 mL", "time": "120 s", "date": "2026-03-01"},
		{"pump": "pump 1", "speed": "80 %", "stroke": "100 %", "volume": "47.3 mL", "time": "120 s", "date": "2026-03-01"},
		{"pump": "pump 2", "speed": "25 %", "stroke": "100 %", "volume": "14.9 mL", "time": "120 s", "date": "2026-03-01"},
		{"pump": "pump 2", "speed": "75 %", "stroke": "100 %", "volume": "44.8 mL", "time": "120 s", "date": "2026-03-01"},
	}
	v["Tanks"] = []map[string]string{
		{"name": "alum tank", "use": TankStock, "volume": "36 L", "usable": "90 %"},
		{"name": "polymer tank", "use": TankStock, "volume": "18 L", "usable": "90 %"},
		{"name": "polymer mixer", "use": TankMakeUp, "volume": "18 L", "usable": "90 %"},
		{"name": "float bin", "use": TankBin, "volume": "432 L", "usable": "90 %"},
		{"name": "rearing tank", "use": TankAnimals, "volume": "21.6 m3"},
	}
	v["Animals"] = []map[string]string{
		{"name": "fry troughs", "species": "rainbow trout", "stage": "fry", "reached": ReachedAlways},
	}
	v["Prices"] = []map[string]string{
		{"chemical": "alum", "price": "0.42 EUR/kg", "pack": "33 kg", "delivery": "45 EUR", "lead time": "7 d", "on hand": "66 kg", "room for": "200 kg", "days kept": "7", "lead time factor": "1.5",
			"packs for price 2": "4", "price 2": "0.38 EUR/kg"},
		{"chemical": "polymer", "price": "4.8 EUR/kg", "pack": "1 kg", "lead time": "14 d", "shelf life": "180 d", "on hand": "0.7 kg", "age": "60 d", "room for": "50 kg", "days kept": "7", "lead time factor": "1.5",
			"on order": "1", "on order arrives": "2026-03-06"},
		{"chemical": PriceDisposal, "price": "55 EUR/m3"},
		{"chemical": PriceWater, "price": "1.9 EUR/m3"},
		{"chemical": PriceElectricity, "price": "0.24 EUR/kWh"},
	}
	v["Calendar"] = []map[string]string{
		{"from": "2026-03-16", "till": "2026-03-16", "runs": "no", "note": "unit drained for service"},
		{"from": "2026-03-21", "till": "2026-03-21", "runs": "yes", "clean-up": "21.6 m3", "note": "fry troughs cleaned"},
	}
	return v
}
