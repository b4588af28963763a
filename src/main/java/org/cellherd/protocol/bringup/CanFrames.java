package org.cellherd.protocol.bringup;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HexFormat;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.TreeMap;
import java.util.stream.Collectors;
import org.cellherd.protocol.bringup.Structure.Kind;

/** CAN frames that an slcan adapter wrote as lines, by their identifiers. */
final class CanFrames {
  private static final int MOST_IDENTIFIERS = 64;
  private static final int LARGEST_SHORT = 0x7FF;

  private final List<Sample> all;
  private final int others;
  private final List<Kind> kinds;

  private CanFrames(List<Sample> all, int others, List<Kind> kinds) {
    this.all = all;
    this.others = others;
    this.kinds = kinds;
  }

  /**
   * The data of each identifier as a kind of message; empty when no frame holds data.
   *
   * @param bursts in which the text search found lines in the form of slcan
   */
  static Optional<CanFrames> of(List<Burst> bursts) {
    Map<Integer, List<Sample>> byId = new TreeMap<>();
    List<Sample> all = new ArrayList<>();
    int others = 0;
    for (Line line : lines(bursts)) {
      int digits = line.text.startsWith("T") ? 8 : 3;
      Optional<byte[]> data =
          TextLines.isCanLine(line.text) ? data(line.text, digits) : Optional.empty();
      if (data.isPresent()) {
        int id = (int) Long.parseLong(line.text.substring(1, 1 + digits), 16);
        Sample sample = Sample.binary(new Burst(line.atMs, new byte[0], data.get()));
        byId.computeIfAbsent(id, k -> new ArrayList<>()).add(sample);
        all.add(sample);
      } else {
        others++;
      }
    }
    List<Kind> each =
        withoutDamage(byId, others).entrySet().stream()
            .limit(MOST_IDENTIFIERS)
            .map(e -> new Kind(OptionalInt.of(e.getKey()), "", List.copyOf(e.getValue())))
            .toList();
    List<Kind> kinds = Structure.paged(each, 0);
    return kinds.isEmpty() ? Optional.empty() : Optional.of(new CanFrames(all, others, kinds));
  }

  /** What the columns of the frames are, beside what a meter told meanwhile. */
  Structure structure(Meter meter) {
    return new Structure(
        new Cut("lines of slcan", HexLine.NONE, Optional.empty(), b -> List.of(), all, others),
        false,
        Optional.empty(),
        all,
        Optional.empty(),
        List.of(),
        Optional.empty(),
        OptionalInt.empty(),
        0,
        Structure.guessed(kinds, all, 0, 0, meter));
  }

  /** Where lines are broken, some were broken in their identifier: those hardly ever come. */
  private static Map<Integer, List<Sample>> withoutDamage(
      Map<Integer, List<Sample>> byId, int broken) {
    int most = byId.values().stream().mapToInt(List::size).max().orElse(0);
    int rare = broken == 0 ? 0 : Stretch.fewOf(most);
    Map<Integer, List<Sample>> left = new TreeMap<>(byId);
    left.values().removeIf(samples -> samples.size() <= rare);
    left.replaceAll((id, samples) -> ofUsualLength(samples));
    return left;
  }

  /** An identifier has one length: a broken digit of another leaves what looks like a stamp. */
  private static List<Sample> ofUsualLength(List<Sample> samples) {
    Map<Integer, List<Sample>> byLength =
        samples.stream()
            .collect(Collectors.groupingBy(Sample::length, TreeMap::new, Collectors.toList()));
    return byLength.values().stream().max(Comparator.comparingInt(List::size)).orElse(samples);
  }

  /** A line and when its end came, ms. */
  private record Line(long atMs, String text) {}

  private static List<Line> lines(List<Burst> bursts) {
    List<Line> lines = new ArrayList<>();
    StringBuilder begun = new StringBuilder();
    for (Burst burst : bursts) {
      for (int i = 0; i < burst.length(); i++) {
        if (burst.bytes()[i] != '\r') {
          begun.append((char) (burst.bytes()[i] & 0xFF));
        } else {
          lines.add(new Line(burst.atMs(i), begun.toString()));
          begun.setLength(0);
        }
      }
    }
    return lines;
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
      kind.page()
          .ifPresent(
              p ->
                  out.append(
                      String.format(
                          Locale.ROOT,
                          "match = { at = %d, bytes = \"%02X\" }%n",
                          p.at(),
                          p.number())));
      boolean isOpen = kind.guesses().stream().allMatch(g -> g.field().isEmpty());
      out.append(isOpen ? "optional = true\n" : "");
      fields.write(kind);
    }
    return out.toString();
  }
}
