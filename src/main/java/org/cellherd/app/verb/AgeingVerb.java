package org.cellherd.app.verb;

import org.cellherd.analysis.FindingName;
import picocli.CommandLine.Command;

/** {@code cellherd ageing}. */
@Command(
    name = "ageing",
    mixinStandardHelpOptions = true,
    description = "Cycles, capacity history and the life left, as intervals.")
final class AgeingVerb extends FindingVerb {

  AgeingVerb() {
    super(FindingName.AGEING, Told.NEWEST, "The log is too short to say anything about ageing.");
  }
}
