package org.cellherd.app.verb;

import org.cellherd.analysis.FindingName;
import picocli.CommandLine.Command;

/** {@code cellherd energy}. */
@Command(
    name = "energy",
    mixinStandardHelpOptions = true,
    description = "Energy of each local day: charged, discharged, depth, time at full.")
final class EnergyVerb extends FindingVerb {

  EnergyVerb() {
    super(FindingName.ENERGY, Told.EACH, "The log holds no whole day yet.");
  }
}
