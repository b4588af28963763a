package org.cellherd.protocol.bringup;

import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.TreeMap;
import org.cellherd.protocol.bringup.Structure.Kind;

/** CAN frames that an slcan adapter wrote as lines, by their identifiers. */
final class CanFrames {
  private static final int MOST_IDENTIFIERS = 64;
  private static final int LARGEST_SHORT = 0x7FF;

  private CanFrames() {}

  /**
   * The data of each identifier as a kind of message; empty when no frame holds data.
   *
   * @param lines in the form of slcan, as the text search found them
   * @param meter what a meter told meanwhile
   */
  static Optional<Structure> structure(List<String> lines, Meter meter) {
    Map<Integer, List<Sample>> byId = new TreeMap<>();
    int others = 0;
    for (String line : lines) {
      int digits = line.startsWith("T") ? 8 : 3;
      Optional<byte[]> data = data(line, digits);
      if (data.isPresent()) {
        int id = (int) Long.parseLong(line.substring(1, 1 + digits), 16);
        byId.computeIfAbsent(id, k -> new ArrayList<>())
            .add(Sample.binary(new Burst(0, new byte[0], data.get())));
      } else {
        others++;
      }
    }
    List<Kind> kinds =
        byId.entrySet().stream()
            .limit(MOST_IDENTIFIERS)
            .map(e -> new Kind(OptionalInt.of(e.getKey()), "", List.copyOf(e.getValue())))
            .toList();
    List<Sample> all = kinds.stream().flatMap(k -> k.samples().stream()).toList();
    Cut cut =
        new Cut("lines of slcan", "", HexLine.NONE, Optional.empty(), b -> List.of(), all, others);
    return kinds.isEmpty()
        ? Optional.empty()
        : Optional.of(
            new Structure(
                cut,
                false,
                Optional.empty(),
                all,
                Optional.empty(),
                List.of(),
                Optional.empty(),
                OptionalInt.empty(),
                0,
                Structure.guessed(kinds, all, 0, 0, meter)));
  }

  /** The data of a line, at least one byte; a time stamp behind it is passed over. */
  private static Optional<byte[]> data(String line, int digits) {
    int at = digits + 2;
    int length = line.length() > at ? Character.digit(line.charAt(digits + 1), 16) : 0;
    return length >= 1 && length <= 8 && line.length() >= at + 2 * length
        ? Optional.of(HexFormat.of().parseHex(line.substring(at, at + 2 * length)))
        : Optional.empty();
  }

  /** The part of a description from {@code [frame]} on. */
  static String draft(Structure structure) {
    StringBuilder out = new StringBuilder("\n[frame]\nkind = \"slcan\"\n");
    DraftFields fields = new DraftFields(structure, out);
    for (Kind kind : structure.kinds()) {
      int id = kind.code().orElseThrow();
      out.append(String.format(Locale.ROOT, "%n[[message]]%nname = \"%08X\"%n", id));
      out.append(String.format(Locale.ROOT, "can_id = 0x%X%n", id));
      out.append("extended = ").append(id > LARGEST_SHORT).append('\n');
      out.append("bytes = ").append(kind.shortest()).append('\n');
      out.append(kind.isOfOneLength() ? "" : "longer = true\n");
      out.append(kind.guesses().isEmpty() ? "optional = true\n" : "");
      fields.write(kind);
    }
    return out.toString();
  }
}
