package org.cellherd.app.verb;

import java.time.ZoneId;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.function.Function;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.result.EnergyResult;
import org.cellherd.pack.Spoken;
import org.cellherd.report.TextReport;
import picocli.CommandLine.Command;

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
  List<String> sentences(List<Finding> days, ZoneId zone) {
    return TextReport.energyByDay(days, zone);
  }

  @Override
  Optional<String> sum(List<Finding> days) {
    return days.size() < LEAST_DAYS
        ? Optional.empty()
        : Optional.of(
            String.format(
                Locale.ROOT,
                "Together on %s: %s in, %s out.",
                Spoken.counted(days.size(), "day"),
                together(days, EnergyResult::chargedWh),
                together(days, EnergyResult::dischargedWh)));
  }

  private static String together(List<Finding> days, Function<EnergyResult, Interval> part) {
    return EnergyResult.together(
        days.stream().flatMap(day -> day.result(EnergyResult.class).stream()).map(part));
  }
}
