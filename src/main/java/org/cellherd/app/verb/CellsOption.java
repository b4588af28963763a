package org.cellherd.app.verb;

import java.nio.file.Path;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import org.cellherd.app.Stop;
import org.cellherd.app.SystemTime;
import org.cellherd.app.config.FileText;
import org.cellherd.pack.SpokenTime;
import org.cellherd.pile.CellsFile;
import org.cellherd.pile.Triage;
import org.cellherd.pile.Unit;
import org.cellherd.toml.Problems;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** The cells files of a pile, and how well it was measured. */
final class CellsOption {

  /** Times without an offset may be ahead by the widest zone. */
  private static final long A_ZONE_MS = 14 * 3_600_000L;

  @Parameters(
      arity = "1..*",
      paramLabel = "FILE",
      description = "Cells files (CSV): one line a unit; further files add to the pile.")
  private List<Path> files = new ArrayList<>();

  @Option(
      names = "--meter-mv",
      paramLabel = "MV",
      description = "Repeatability of the voltmeter, standard deviation (default: 1).")
  private double meterMv = 1;

  @Option(
      names = "--capacity-pct",
      paramLabel = "PCT",
      description = "Error of a measured capacity, standard deviation (default: 1).")
  private double capacityPct = 1;

  @Option(
      names = "--least-pct",
      paramLabel = "PCT",
      description = "Units below this share of their rating are not used (default: 60).")
  private double leastPct = 60;

  /** Error of a measured capacity, percent. */
  double capacityPct() {
    return capacityPct;
  }

  String names() {
    return String.join(", ", files.stream().map(Path::toString).toList());
  }

  Triage triage() {
    within("--meter-mv", meterMv, 1000);
    within("--capacity-pct", capacityPct, 50);
    within("--least-pct", leastPct, 200);
    LocalDate today =
        LocalDate.ofInstant(Instant.ofEpochMilli(new SystemTime().wallMs()), ZoneOffset.UTC);
    return Triage.of(units(), new Triage.Settings(meterMv, capacityPct, leastPct, today));
  }

  private static void within(String option, double value, double most) {
    if (!(value > 0 && value <= most)) {
      throw Stop.usage(option + " " + value + ", allowed: above 0 to " + (int) most);
    }
  }

  /** A year that was mistyped would make a leak of years out of days. */
  private static void later(Path file, Unit unit, Problems problems) {
    long now = new SystemTime().wallMs();
    for (Unit.RestVoltage rest : unit.rests()) {
      if (rest.atMs() > now + A_ZONE_MS) {
        String when = SpokenTime.day(rest.atMs(), ZoneOffset.UTC);
        problems.add(file.toString(), 0, unit.id(), "was measured on " + when + ", later than now");
      }
    }
  }

  private List<Unit> units() {
    Problems problems = new Problems();
    List<Unit> units = new ArrayList<>();
    for (Path file : files) {
      List<Unit> own =
          CellsFile.read(file.toString(), FileText.read(file).lines().toList(), problems);
      own.forEach(unit -> later(file, unit, problems));
      units.addAll(own);
    }
    List<String> ids = units.stream().map(Unit::id).toList();
    for (int i = 0; i < ids.size() && files.size() > 1 && problems.isEmpty(); i++) {
      if (ids.indexOf(ids.get(i)) < i) {
        problems.add(names(), 0, "id", "\"" + ids.get(i) + "\" is in more than one file");
      }
    }
    if (!problems.isEmpty()) {
      throw Stop.usage(problems.toString());
    }
    return units;
  }
}
