package org.cellherd.app.config;

import org.cellherd.protocol.LineSettings;
import org.cellherd.toml.TomlTable;

/** Reads {@code [pack.line]}. */
final class PackLineReader {

  private PackLineReader() {}

  static LineConfig read(TomlTable t) {
    double pollSeconds = t.decimal("poll_s", 0.1, 3600, 1);
    return new LineConfig(
        t.text("spec"),
        t.text("link"),
        t.integer("address", 0, 255, 1),
        (int) Math.round(pollSeconds * 1000),
        t.integerIfAny("baud", 50, 4_000_000),
        t.integerIfAny("data_bits", 5, 8),
        t.oneOfIfAny("parity", LineSettings.Parity.class),
        t.integerIfAny("stop_bits", 1, 2));
  }
}
