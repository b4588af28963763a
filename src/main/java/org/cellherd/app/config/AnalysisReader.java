package org.cellherd.app.config;

import java.util.OptionalDouble;
import java.util.OptionalInt;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.toml.TomlTable;

/** Lays {@code [pack.analysis]} over the defaults. */
final class AnalysisReader {

  private AnalysisReader() {}

  static AnalysisSettings read(TomlTable pack, AnalysisSettings defaults) {
    TomlTable t = pack.tableOrEmpty("analysis");
    AnalysisSettings settings = defaults;
    OptionalDouble zone = t.decimalIfAny("dead_zone_a", 0, 100);
    if (zone.isPresent()) {
      settings = settings.withDeadZoneMa((int) Math.round(zone.getAsDouble() * 1000));
    }
    OptionalInt balanced = t.integerIfAny("balanced_mv", 1, 500);
    OptionalInt hold = t.integerIfAny("balanced_hold_min", 1, 1440);
    if (balanced.isPresent() || hold.isPresent()) {
      settings =
          settings.withBalanced(
              balanced.orElse(defaults.balancedMv()),
              hold.isPresent() ? hold.getAsInt() * 60_000L : defaults.balancedHoldMs());
    }
    return settings;
  }
}
