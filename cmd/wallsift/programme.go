package main

import (
	"fmt"
	"os"

	"github.com/spf13/cobra"

	"wallsift/config"
	"wallsift/screen/report"
	"wallsift/screen/report/picks"
)

func newProgramme() *cobra.Command {
	var done, out string
	settings := []string{"format", "top", "units", "by", "budget", "target-kwh", "homes"}
	cmd := configured(command("programme", cobra.MaximumNArgs(1)), settings, func(cmd *cobra.Command, l *config.Loaded, args []string) error {
		cfg := &l.Config
		dir := cfg.Output.Dir
		if len(args) > 0 {
			dir = args[0]
		}
		var ids []string
		var err error
		if done != "" {
			if ids, err = picks.ReadDone(done); err != nil {
				return usage(err)
			}
		}
		p, err := picks.Make(cmd.Context(), dir, cfg, ids)
		if err != nil {
			return err
		}
		if out != "" {
			if err := putIn(out, func(work string) (names, gone []string, err error) { return picks.Files, nil, p.Write(work) }); err != nil {
				return err
			}
		}
		if err := p.Print(os.Stdout, cfg.Output.Format, cfg.Output.Top, widthOf(os.Stdout)); err != nil {
			return err
		}
		for _, n := range p.Notes {
			fmt.Fprintln(os.Stderr, "note:", n)
		}
		fmt.Fprintf(os.Stderr, "%s\n%s\n", report.Wrap(p.Manifest.Caution, widthOf(os.Stdout)), report.Wrap(p.Manifest.TierCaution, widthOf(os.Stdout)))
		return nil
	})
	cmd.Flags().StringVar(&done, "done", "", "CSV `file` with a column building_id of homes that are decided or done, such as last year's programme.csv; they are left out and named")
	cmd.Flags().StringVar(&out, "out", "", "`folder` for programme.csv, programme.xlsx and programme.html; without it none is written")
	return cmd
}
