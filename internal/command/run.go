package command

import (
	"context"
	"encoding/json"
	"io"

	"chalkfield/internal/account"
	"chalkfield/internal/record"
	"chalkfield/internal/rehearse"
	"chalkfield/internal/wholefile"
)

type runCommand struct {
	inputs
	Record  string `help:"Write the record (JSON Lines)." placeholder:"FILE"`
	Picture string `help:"Draw the path, events and final state (.png or .svg)." placeholder:"FILE"`
	Report  string `help:"Write a report that a browser shows (.html), in one file." placeholder:"FILE"`
	JSON    bool   `help:"Print the account as JSON." name:"json"`
}

// Help is shown under the flags.
func (runCommand) Help() string {
	return `Examples:
  chalkfield run                                     the demo
  chalkfield run mine.lua --robot robot.toml         your routine and robot on the demo field
  chalkfield run mine.lua --seed 7 --picture out.png one draw of the spread, with a picture
  chalkfield run mine.lua --report out.html          for a phone, or on paper
  chalkfield run mine.lua --record out.jsonl --json  for other programs`
}

// Run rehearses once and tells what happened.
func (c runCommand) Run(ctx context.Context, s streams) error {
	setup, err := c.load()
	if err != nil {
		return err
	}
	rec, err := rehearse.Run(ctx, setup)
	if err != nil {
		return err
	}
	if c.Record != "" {
		if err := wholefile.Write(c.Record, rec.Write); err != nil {
			return err
		}
	}
	if c.Picture != "" {
		if err := drawRecord(c.Picture, setup, rec); err != nil {
			return err
		}
	}
	if c.Report != "" {
		if err := reportRecord(c.Report, setup, rec); err != nil {
			return err
		}
	}
	return c.print(s.out, rec)
}

func (c runCommand) print(out io.Writer, rec *record.Record) error {
	if !c.JSON {
		return account.Text(out, rec)
	}
	summary, err := account.Summarise(rec)
	if err != nil {
		return err
	}
	return printJSON(out, summary)
}

func printJSON(out io.Writer, value any) error {
	encoder := json.NewEncoder(out)
	encoder.SetEscapeHTML(false)
	encoder.SetIndent("", "  ")
	return encoder.Encode(value)
}
