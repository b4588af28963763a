package org.cellherd.app.verb;

import java.nio.file.Path;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import org.cellherd.analysis.discharge.PackComparison;
import org.cellherd.app.Stop;
import picocli.CommandLine.Option;

/** What a comparison needs to know of its files and prices. */
final class CompareOptions {

  @Option(
      names = "--plan",
      paramLabel = "FILE",
      description = "A file that holds the [[pack]] of a log (default: LOG.toml beside it).")
  private List<Path> plans = new ArrayList<>();

  @Option(
      names = "--column",
      paramLabel = "OURS=THEIRS",
      description =
          "A tester's name for time (seconds, h:mm:ss or a date), minutes, hours, volts or amps;"
              + " may be repeated.")
  private Map<String, String> columns = new LinkedHashMap<>();

  @Option(
      names = "--series",
      paramLabel = "S",
      description = "Cells in series of what testers' files tested (default: 1).")
  private int series = 1;

  @Option(
      names = "--rated-ah",
      paramLabel = "AH",
      description = "Rated capacity of what testers' files tested.")
  private Optional<Double> ratedAh = Optional.empty();

  @Option(
      names = "--discharge-positive",
      description = "Testers' files print discharge current as positive.")
  private boolean dischargePositive;

  @Option(
      names = "--parts-price",
      paramLabel = "NAME=PRICE",
      description = "What the parts of a pack cost; may be repeated.")
  private Map<String, Double> prices = new LinkedHashMap<>();

  @Option(names = "--new-price", paramLabel = "PRICE", description = "What a new pack costs.")
  private Optional<Double> newPrice = Optional.empty();

  @Option(names = "--new-wh", paramLabel = "WH", description = "Usable energy of a new pack.")
  private Optional<Double> newWh = Optional.empty();

  @Option(
      names = "--new-life-kwh",
      paramLabel = "KWH",
      description = "Energy that a new pack gives over its life, by its seller.")
  private Optional<Double> newLifeKwh = Optional.empty();

  @Option(
      names = "--zone",
      paramLabel = "ZONE",
      converter = ZoneOption.class,
      description = "Zone of the days that are printed (default: this computer's).")
  private ZoneId zone = ZoneId.systemDefault();

  ZoneId zone() {
    return zone;
  }

  List<Path> plans() {
    return plans;
  }

  Map<String, String> columns() {
    return columns;
  }

  /** What the options say of a pack of this name that testers' files tested. */
  TesterPack tested(String name) {
    return new TesterPack(name, series, of(ratedAh), dischargePositive);
  }

  OptionalDouble price(String name) {
    return of(Optional.ofNullable(prices.get(name)));
  }

  PackComparison.NewPack newPack() {
    return new PackComparison.NewPack(of(newPrice), of(newWh), of(newLifeKwh));
  }

  private static OptionalDouble of(Optional<Double> value) {
    return value.map(OptionalDouble::of).orElse(OptionalDouble.empty());
  }

  /** Refuses what cannot be right before any file is read. */
  void check() {
    if (series < 1 || series > 64) {
      throw Stop.usage("--series " + series + ", allowed 1 to 64");
    }
    for (String ours : columns.keySet()) {
      if (!TesterColumns.NAMES.contains(ours)) {
        throw Stop.usage(
            "--column " + ours + "=..., allowed: " + String.join(", ", TesterColumns.NAMES));
      }
    }
    positive("--rated-ah", of(ratedAh));
    positive("--new-price", of(newPrice));
    positive("--new-wh", of(newWh));
    positive("--new-life-kwh", of(newLifeKwh));
    prices.forEach((name, price) -> positive("--parts-price " + name, OptionalDouble.of(price)));
  }

  /** Refuses a price of a pack that is not there. */
  void checkNames(List<String> names) {
    for (String name : prices.keySet()) {
      if (!names.contains(name)) {
        throw Stop.usage(
            "--parts-price %s: there is no such pack; there is %s"
                .formatted(name, String.join(", ", names)));
      }
    }
  }

  private static void positive(String option, OptionalDouble value) {
    if (value.isPresent() && !(value.getAsDouble() > 0 && value.getAsDouble() < 1e9)) {
      throw Stop.usage(option + " " + value.getAsDouble() + ", allowed above 0");
    }
  }
}
