package org.cellherd.app.verb;

import org.cellherd.analysis.FindingName;
import picocli.CommandLine.Command;

/** {@code cellherd capacity}. */
@Command(
    name = "capacity",
    mixinStandardHelpOptions = true,
    description = "Capacity tests found in the log: Ah, Wh, share of rated, which cell limits.")
final class CapacityVerb extends FindingVerb {

  CapacityVerb() {
    super(
        FindingName.CAPACITY,
        Told.EACH,
        "No full discharge was found in the log. Charge until full, then discharge to the cut-off.");
  }
}
