package main

import (
	"errors"
	"fmt"
	"io"
	"os"

	"github.com/spf13/cobra"

	"wallsift/ingest"
	"wallsift/screen/report"
)

func newExplain() *cobra.Command {
	var s shared
	var id, strategy string
	cmd := &cobra.Command{
		Use:   "explain INVENTORY... --building ID",
		Short: "Show the whole working for one building",
		Long: "Shows layers, resistances and s_d values, the year of condensation, and every indicator with\n" +
			"its formula, its numbers and its source, for one building under its best or a named strategy.\n\n" + report.Caution,
		Example: "  wallsift explain testdata/demo.csv --building HX-0001 --strategy drained_cavity",
		Args:    needInventory,
		RunE: func(cmd *cobra.Command, args []string) error {
			if id == "" {
				return usage(fmt.Errorf("no building named; give its id with --building, as in the column building_id of %s", report.RankingCSV))
			}
			l, e, err := s.engine(cmd)
			if err != nil {
				return err
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
			tables, err := report.Explain(e, walls, lost, strategy)
			if err != nil {
				return usage(err)
			}
			if err := report.Print(os.Stdout, tables, l.Config.Output.Format, terminalWidth()); err != nil {
				return err
			}
			fmt.Fprintln(os.Stderr, report.Wrap(report.Caution+" "+report.TierCaution(l.Config.Run.Tier), terminalWidth()))
			return nil
		},
	}
	s.bind(cmd, withoutOutput())
	cmd.Flags().StringVar(&id, "building", "", "`ID` of the building")
	cmd.Flags().StringVar(&strategy, "strategy", "", "`id` of the strategy; the best one when not given")
	return cmd
}

// find reads until the building turns up, or to the end for the walls of a home,
// with how many of its walls were rejected.
func find(cmd *cobra.Command, src *ingest.Source, id string) (walls []ingest.Building, lost int, err error) {
	var refused []ingest.Reject
	near, names := "", []string{}
	for {
		batch, err := src.NextOrDone(cmd.Context())
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, 0, err
		}
		buildings, rejects := batch.Decode()
		for i := range buildings {
			switch b := &buildings[i]; {
			case b.Home == id:
				walls = append(walls, *b)
			case b.ID == id:
				return []ingest.Building{*b}, 0, nil
			}
			if len(names) < 100000 {
				names = append(names, buildings[i].ID)
			}
		}
		last := int64(-1)
		for _, r := range rejects {
			if r.Known == id || r.Whole {
				refused = append(refused, r)
			}
			if r.Home == id && r.Line != last {
				lost++
			}
			last = r.Line
		}
	}
	if len(walls) > 0 {
		return walls, lost, nil
	}
	for _, r := range refused {
		if r.Known == id {
			return nil, 0, usage(fmt.Errorf("building %q was rejected: %s line %d, column %s %q: %s; %s", id, r.File, r.Line, r.Column, r.Value, r.Reason, r.Fix))
		}
	}
	if near = ingest.Suggest(id, names); near != "" {
		return nil, 0, usage(fmt.Errorf("no building %q in the inventory; did you mean %q?", id, near))
	}
	if len(refused) > 0 {
		r := refused[0]
		return nil, 0, usage(fmt.Errorf("no building %q could be read; %s: %s; %s", id, r.File, r.Reason, r.Fix))
	}
	return nil, 0, usage(fmt.Errorf("no building %q in the inventory", id))
}
