package org.cellherd.app.verb;

import org.cellherd.analysis.FindingName;
import picocli.CommandLine.Command;

@Command(
    name = "ageing",
    mixinStandardHelpOptions = true,
    header = "Cycles, capacity history and the life left, as intervals.",
    description = "With --to, as it was known then.")
final class AgeingVerb extends FindingVerb {

  AgeingVerb() {
    super(FindingName.AGEING, Told.NEWEST, "The log is too short to say anything about ageing.");
  }
}
