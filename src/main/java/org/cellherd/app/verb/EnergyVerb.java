package org.cellherd.app.verb;

import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import picocli.CommandLine.Command;

/** {@code cellherd energy}. */
@Command(
    name = "energy",
    mixinStandardHelpOptions = true,
    description = "Energy of each local day: charged, discharged, depth, time at full.")
final class EnergyVerb extends FindingVerb {

  /** Fewer are added up at a glance. */
  private static final int LEAST_DAYS = 5;

  EnergyVerb() {
    super(FindingName.ENERGY, Told.EACH, "The log holds no whole day yet.");
  }

  @Override
  Optional<String> sum(List<Finding> days) {
    return days.size() < LEAST_DAYS
        ? Optional.empty()
        : Optional.of(
            String.format(
                Locale.ROOT,
                "Together on %d days: %.1f kWh in, %.1f kWh out.",
                days.size(),
                wh(days, "charged_wh") / 1000,
                wh(days, "discharged_wh") / 1000));
  }

  private static double wh(List<Finding> days, String name) {
    return days.stream().mapToDouble(day -> day.facts().number(name).orElse(0)).sum();
  }
}
