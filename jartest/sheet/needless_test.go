package sheet

import "testing"

// What sheets say of people, places, papers, equipment, weather and fish bears on no number,
// above the table, below it or in a column of its own.
func TestWhatBearsOnNoNumberIsQuiet(t *testing.T) {
	for _, line := range each("Photo of jar 3 sent to Ali. | Photos on the shared drive. | See IMG_0231.jpg | Pictures taken at 10:15 | Video of the flocs on the phone | " +
		"Tape colours: red, blue, green | Beakers marked with blue tape | Labels: white tape on the lids | " +
		"No chlorine was added. | No chlorine in the raw water. | No acid added. | No polymer was used. | No lime today. | Without polymer. | " +
		"Project no. 2031-44 | Project 4471 | Serial number SW6-88213 | Serial no. 12345 | Stirrer serial no. FB 2210 | Asset tag 00812 | Invoice 2031 to Mill Road 12 | Sample ID 2025-113 | Order no. 7741 | PO 55102 | Job 88-12 | " +
		"Fingerlings in the raceway | Pond stocked with 1200 fingerlings in April. | Fry moved to tank 3 | Trout fry, 2 g | Smolts due next week | Fish calm, no mortalities | Feed rate: 2 % | Broodstock in pond 2 | " +
		"Stirrer serviced in May. | Stirrer repaired last week | New bulb fitted in May | Turbidity meter serviced by the supplier | Pump overhauled | Balance calibrated in March | Meter battery replaced | pH probe cleaned | Meter: Beckwith T100 | " +
		"Weather: overcast, light drizzle | Windy, showers | Rain overnight. | 12 mm of rain yesterday | Air temperature 31 C | Storm last night | Foggy morning | Snow melt | Barometer 1013 hPa | " +
		"Initials: AB | Tested by AB | Checked by RB. | Witnessed by J. Smith | Analyst: Maria | Operator on shift: Tom | Supervisor: Ana | Signed: R. Brook | " +
		"Page 2 of 7 | Page 3 | p. 4/12 | Sheet 2 of 3 | Form JT-3 rev 4 | Printed 3 May 2025. | Typed up 4 May | Copied to the office | Filed in folder 12 | Good flocs from jar 4 on. | See log book page 17 | Bench sheet rev. 4, page 2 of 7 | " +
		"Sampled at the weir. | Sampled from the inlet channel at 06:40 | Lab phone 0471 223 118 | Room 12 | Bench 2 | Radio on channel 4 | Coffee at 10") {
		plainSheet{top: line}.quiet(t, "above: "+line)
		plainSheet{below: line}.quiet(t, "below: "+line)
	}
	for _, column := range [][]string{
		each("Photo no. | IMG_0230 | IMG_0231 | IMG_0232 | IMG_0233 | IMG_0234 | IMG_0235"), each("Photo | 230.jpg | 231.jpg | 232.jpg | 233.jpg | 234.jpg | 235.jpg"), each("Picture | a | b | c | d | e | f"),
		each("Beaker tape | red | blue | green | white | black | yellow"), each("Tape colour | red | blue | green | white | black | yellow"), each("Sticker colour | red | blue | red | blue | red | blue"), each("Lid | red | blue | green | white | pink | grey"),
		each("Initials | AB | AB | CD | CD | AB | AB"), each("By | AB | AB | CD | CD | AB | AB"), each("Analyst | Ana | Ana | Tom | Tom | Tom | Tom"), each("Serial no. | S1-88 | S2-88 | S3-88 | S4-88 | S5-88 | S6-88"), each("Start | 09:05 | 09:06 | 09:07 | 09:08 | 09:09 | 09:10"),
		each("Position | 1 | 2 | 3 | 4 | 5 | 6"), each("Beaker no. | B1 | B2 | B3 | B4 | B5 | B6"), each("Barcode | 70001 | 70002 | 70003 | 70004 | 70005 | 70006"), each("Smell | none | none | none | none | none | none"),
	} {
		plainSheet{column: column}.quiet(t, "column "+column[0])
	}
}

// The same words beside a number or a word that bears on doses, stock, jars, raw water, readings
// or target speak.
func TestWhatBearsOnNumbersSpeaksAmongSuchWords(t *testing.T) {
	for _, line := range each("Photo shows 20 mg/L in jar 2 | Photo: jar 3 got 45 mg/L | According to the photo jar 2 read 12 NTU | Red tape: half dose | Blue tape beakers held 2 L | Jars with red tape got polymer | Blue tape: not stirred | " +
		"Chlorine was added to all jars | Chlorine 2 mg/L added | Acid was added to jar 3 | No alum was added | No coagulant added to jar 4 | Polymer was used | " +
		"Project dose 30 mg/L | Printed doses are twice the real ones | Typed doses are wrong | Fish feed spilled into jar 2 | Rain water used for jars 4-6 | Rain got into jar 3 | " +
		"Stirrer serviced, ran at half speed for jar 3 | Stirrer failed in jar 4 | New bulb: readings 10 % high | Meter repaired after jar 3 | Balance reads 5 % low | Stock kept since March, 20 % evaporated | Operator doubled the dose | AB says the doses are in g/L | " +
		"Maria used 20 g/L stock | Tom diluted the samples 1:2 | Storm water, 500 NTU raw | Snow melt was used instead of pond water | Weather: readings halved") {
		plainSheet{top: line}.speaks(t, "above: "+line)
		plainSheet{below: line}.speaks(t, "below: "+line)
	}
}
