package main

import (
	"cmp"
	"fmt"
	"os"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/screen"
	"wallsift/screen/report"
)

func newExplain() *cobra.Command {
	var id, strategy string
	var against []string
	cmd := configured(command("explain", needInventory), []string{"format", "units", "tier"}, func(cmd *cobra.Command, l *config.Loaded, args []string) error {
		if id == "" {
			return usage(fmt.Errorf("no building named; give its id with --building, as in the column building_id of %s", report.RankingCSV))
		}
		e, err := screen.NewEngine(l)
		if err != nil {
			return usage(err)
		}
		src, err := ingest.Open(args, e.InputOptions())
		if err != nil {
			return usage(err)
		}
		defer src.Close()
		walls, lost, err := find(cmd, src, id)
		if err != nil {
			return err
		}
		sets, _ := cmd.Flags().GetStringArray("set")
		facts := slices.DeleteFunc(sets, func(kv string) bool { return !strings.HasPrefix(kv, factPrefix) })
		cases, err := suppositions(src, walls, facts, against)
		if err != nil {
			return usage(err)
		}
		tables, err := report.Explain(e, strategy, cases, min(len(facts), 1), lost)
		if err != nil {
			return usage(err)
		}
		if err := report.Print(os.Stdout, tables, l.Config.Output.Format, widthOf(os.Stdout)); err != nil {
			return err
		}
		fmt.Fprintln(os.Stderr, report.Wrap(report.Caution+" "+report.TierCaution(l.Config.Run.Tier), widthOf(os.Stdout)))
		return nil
	})
	cmd.Flags().StringVar(&id, "building", "", "`ID` of the building")
	cmd.Flags().StringVar(&strategy, "strategy", "", "`id` of the strategy; the best one when not given")
	completeRows(cmd, "strategy", "strategies", "", 1)
	cmd.Flags().StringArrayVar(&against, "against", nil, "what if a fact were another, `building.NAME=VALUE`; repeat")
	return cmd
}

// suppositions are the rows as they are, the rows with the facts of --set changed,
// if there are any, and the rows with each of --against. A fact changes at every
// wall of a home.
func suppositions(src *ingest.Source, walls []ingest.Building, together, against []string) ([]report.Case, error) {
	out := []report.Case{{Walls: walls}}
	suppose := func(flag string, facts ...string) error {
		walls := slices.Clone(walls)
		var said []string
		for _, f := range facts {
			fact, known := strings.CutPrefix(f, factPrefix)
			name, value, ok := strings.Cut(fact, "=")
			if !known || !ok {
				return fmt.Errorf("%s %q: expected building.NAME=VALUE, such as building.a_w_kg_m2_s05=0.01", flag, f)
			}
			for i := range walls {
				b, err := src.Suppose(&walls[i], name, value)
				if err != nil {
					return fmt.Errorf("%s: %w", flag, err)
				}
				walls[i] = *b
			}
			said = append(said, strings.TrimSpace(name+" "+cmp.Or(strings.TrimSpace(value), "not given")))
		}
		out = append(out, report.Case{Walls: walls, Change: strings.Join(said, ", ")})
		return nil
	}
	var err error
	if len(together) > 0 {
		err = suppose("--set", together...)
	}
	for _, fact := range against {
		err = cmp.Or(err, suppose("--against", fact))
	}
	return out, err
}

// find reads until the building turns up, or to the end for the walls of a home,
// with how many of its walls were rejected.
func find(cmd *cobra.Command, src *ingest.Source, id string) (walls []ingest.Building, lost int, err error) {
	var names []string
	var rejected, unread *ingest.Reject // the row, the first file that was not read whole
	in := screen.NewIntake(src)
	for t, err := range in.Read(cmd.Context()) {
		if err != nil {
			return nil, 0, err
		}
		for i := range t.Rows {
			switch b := &t.Rows[i]; {
			case b.Home == id:
				walls = append(walls, *b)
			case b.ID == id:
				return []ingest.Building{*b}, 0, nil
			case len(names) < 100000:
				names = append(names, b.ID)
			}
		}
		for i := range t.Rejects {
			if r := &t.Rejects[i]; r.Known == id {
				rejected = cmp.Or(rejected, r)
			} else if r.Whole {
				unread = cmp.Or(unread, r)
			}
		}
	}
	near := ingest.DidYouMean(id, names)
	switch {
	case len(walls) > 0:
		return walls, in.Lost(id), nil
	case rejected != nil:
		err = fmt.Errorf("building %q was rejected: %s", id, rejected)
	case near == "" && unread != nil:
		err = fmt.Errorf("no building %q could be read; %s", id, unread)
	default:
		err = fmt.Errorf("no building %q in the inventory%s", id, near)
	}
	return nil, 0, usage(err)
}
