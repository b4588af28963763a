package org.cellherd.app.verb;

import org.cellherd.analysis.FindingName;
import picocli.CommandLine.Command;

@Command(
    name = "resistance",
    mixinStandardHelpOptions = true,
    header = "Resistance of each cell and of the links, from the load's own steps.",
    description = "With --from, of the steps in that period alone, so that two can be compared.")
final class ResistanceVerb extends FindingVerb {

  ResistanceVerb() {
    super(
        FindingName.RESISTANCE,
        Told.NEWEST,
        "No load steps were found that give a resistance. Let the pack rest at half charge, put on"
            + " a load of C/5 or more at once, and take it off after ten minutes; readings 10 s apart or closer help most.");
  }
}
