package main

func checkCommand() command {
	return command{
		name:    "check",
		args:    "[SITE] [flags]",
		brief:   "read a site and say what was understood, with warnings",
		long:    "Reads every file of the site and prints what it understood.",
		example: "sunrill check",
		groups:  withSite | withYears | withResult,
		run: func(c *call) error {
			h, err := c.homestead()
			if err != nil {
				return err
			}
			c.say("%s", h.Site.Name)
			return nil
		},
	}
}
