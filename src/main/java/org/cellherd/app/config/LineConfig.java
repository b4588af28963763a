package org.cellherd.app.config;

import java.util.Optional;
import java.util.OptionalInt;
import org.cellherd.protocol.LineSettings;
import org.cellherd.toml.TomlTable;

/**
 * How a board is reached.
 *
 * @param spec id of a decoder that comes with the program, or path of a description file
 * @param link address text such as {@code serial:/dev/serial/by-id/...} or {@code tcp:host:port}
 * @param address address on the line, 0 where the board has none
 * @param pollMs time between two polls, ms
 * @param baud overrides the description's
 * @param dataBits overrides the description's
 * @param parity overrides the description's
 * @param stopBits overrides the description's
 */
public record LineConfig(
    String spec,
    String link,
    int address,
    int pollMs,
    OptionalInt baud,
    OptionalInt dataBits,
    Optional<LineSettings.Parity> parity,
    OptionalInt stopBits) {

  /** The description's settings with what this config changes. */
  public LineSettings settings(LineSettings described) {
    return new LineSettings(
        baud.orElse(described.baud()),
        dataBits.orElse(described.dataBits()),
        parity.orElse(described.parity()),
        stopBits.orElse(described.stopBits()));
  }

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
