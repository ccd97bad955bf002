package book

// benchSteps are the steps of the second page, each as a sheet needs it. Common bench practice; ASTM D2035 (Standard Practice for
// Coagulation-Flocculation Jar Test of Water) is the published procedure; its speeds and times are not repeated here.
var benchSteps = []func(Bench) string{
	func(Bench) string {
		return "Take one well-mixed sample of the raw water, enough for all jars. Measure it and write the readings under Raw water."
	},
	func(x Bench) string {
		const fresh = "Make fresh stock (sheet Stock) and write its strength. "
		if x.Polymer() {
			return fresh + "Let a polymer's swell for an hour before use, and keep it no longer than a day (common practice)."
		}
		return fresh + "Weak alum and iron stocks change within hours; make them on the day (common practice)."
	},
	func(x Bench) string {
		const fill = "Fill every jar to the same mark. "
		switch {
		case !x.undosed() && !x.noControl():
			return fill + "The control gets no chemical: it shows what mixing and " + x.clearing() + " do by themselves."
		case x.Continued && x.HasControl:
			return fill + "None of them is a control: that of the last test stands for this one while the raw water is the same."
		case x.full():
			return fill + "None of them is a control: fill one jar more, without chemical, to see what mixing and " + x.clearing() + " do by themselves."
		}
		return fill + "Leave one jar without chemical: the control shows what mixing and " + x.clearing() + " do by themselves."
	},
	func(x Bench) string {
		const drawn = "The sheet gives the millilitres of stock for each jar. If another volume was drawn, write it under Stock added: the dose follows it."
		if x.undosed() {
			return "Write the doses to test. " + drawn
		}
		return drawn
	},
	func(x Bench) string {
		end := ", then slow mix, then stop and let settle."
		if x.Flotation {
			end = ", then slow mix, then stop, let the white water in and let float."
		}
		if x.Alone {
			return "Start the rapid mix and add the stock to all jars at the same moment (syringes laid ready)" + end
		}
		return "Start the rapid mix and add one stock after the other in the order told below, each to all jars at the same moment " +
			"(syringes laid ready)" + end
	},
	func(x Bench) string {
		const draw = "Draw the sample of every jar at the same depth and time."
		switch x.Repeats {
		case 1:
			return draw
		case 2:
			return draw + " Read the first reading twice: the two values show the scatter of the meter."
		}
		return draw + " Take the first reading as often as it has columns: the values show the scatter of the meter."
	},
	func(Bench) string {
		return "Write what the meter shows: <0.5 or over range are readings too. Leave a spilt or spoilt jar empty and say so under Remark."
	},
}

// clearing is what parts flocs and water in these jars.
func (x Bench) clearing() string {
	if x.Flotation {
		return "white water"
	}
	return "settling"
}

// full reports that every jar has its dose.
func (x Bench) full() bool { return len(x.Doses) > 0 && len(x.Doses) >= x.Jars }
