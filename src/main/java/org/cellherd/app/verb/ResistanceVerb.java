package org.cellherd.app.verb;

import org.cellherd.analysis.FindingName;
import picocli.CommandLine.Command;

/** {@code cellherd resistance}. */
@Command(
    name = "resistance",
    mixinStandardHelpOptions = true,
    header = "Resistance of each cell and of the links, from the load's own steps.",
    description = "With --from, of the steps in that stretch alone, so that two can be compared.")
final class ResistanceVerb extends FindingVerb {

  ResistanceVerb() {
    super(
        FindingName.RESISTANCE,
        Told.NEWEST,
        "No load steps were found that tell a resistance: a load that comes or goes at once and"
            + " stays, of 5 A or a fifth of the capacity's current, well away from full and empty,"
            + " with readings at most 2 s apart.");
  }
}
