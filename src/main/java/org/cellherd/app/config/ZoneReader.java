package org.cellherd.app.config;

import java.time.DateTimeException;
import java.time.ZoneId;
import java.util.Optional;
import org.cellherd.toml.TomlTable;

/** Reads the key {@code zone}. */
final class ZoneReader {

  private ZoneReader() {}

  static Optional<ZoneId> read(TomlTable top) {
    Optional<String> name = top.textIfAny("zone");
    try {
      return name.map(ZoneId::of);
    } catch (DateTimeException noZone) {
      top.problem("zone", "\"" + name.orElse("") + "\" is no time zone, such as Europe/Lisbon");
      return Optional.empty();
    }
  }
}
