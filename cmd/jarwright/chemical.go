package main

import (
	"github.com/spf13/cobra"

	"jarwright/dosing/product"
	"jarwright/jartest/quantity"
	"jarwright/templates"
)

func newChemical(e *env) *cobra.Command {
	var dose, to, strength, density string
	var cautions bool
	c := &cobra.Command{
		Use:   "chemical [NAME]",
		Short: "The catalogue: strength, density, hazards, sources",
		Long: `Lists the products that the program knows, or shows one with the source of every
figure. With --dose it converts a dose of that product to all other bases (or to
the one that --to names), and says what the dose does to the alkalinity. With
--strength or --density it checks the label against the catalogue for the usual
slips: percent by volume, another basis, lb per gallon. With --cautions it lists
every caution that the program can utter, with its condition, limit and source,
and the animals and toxicity data behind them.`,
		Example: `  jarwright chemical
  jarwright chemical "liquid alum"
  jarwright chemical alum-liquid --dose "12.5 mg/L as alum 14-hydrate" --to "as Al"
  jarwright chemical pacl-10 --strength "18 % as Al2O3"
  jarwright chemical --cautions --format csv`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			if cautions {
				if len(args) > 0 || dose != "" || to != "" || strength != "" || density != "" {
					return badUsage("--cautions stands alone: it lists every caution, animal and toxicity figure")
				}
				return e.emit(templates.Cautions{})
			}
			if len(args) == 0 {
				if dose != "" || to != "" || strength != "" || density != "" {
					return badUsage("name a chemical to convert a dose or check a label")
				}
				return e.emit(templates.Catalogue{Products: product.Default().All()})
			}
			p, err := product.Default().Find(args[0])
			if err != nil {
				return err
			}
			r := templates.Chemical{Product: p}
			if err := r.Ask(dose, to, strength, density); err != nil {
				return err
			}
			return e.emit(r)
		},
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return productNames(), cobra.ShellCompDirectiveNoFileComp
		},
	}
	c.Flags().BoolVar(&cautions, "cautions", false, "list every caution, animal and toxicity figure")
	c.Flags().StringVar(&dose, "dose", "", `dose to convert, with its basis: "12.5 mg/L as Al"`)
	c.Flags().StringVar(&to, "to", "", "basis to convert to (all when absent)")
	c.Flags().StringVar(&strength, "strength", "", `label's strength, such as "48.5 %" or "8.3 % as Al2O3"`)
	c.Flags().StringVar(&density, "density", "", `label's density, such as "1.335 kg/L"`)
	return c
}

func productNames() []string {
	var out []string
	for _, p := range product.Default().All() {
		out = append(out, p.ID)
	}
	return out
}

// completeProducts offers the catalogue's names for a flag.
func (e *env) completeProducts(c *cobra.Command, flag string) {
	offers(c, flag, productNames())
	var bases []string
	for _, b := range quantity.Bases() {
		bases = append(bases, string(b))
	}
	offers(c, "basis", bases)
}
