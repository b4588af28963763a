package org.cellherd.protocol.bringup;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HexFormat;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;

/** Finds the ways in which a capture may be cut into messages. */
final class Cutter {
  /** Headers tried, most frequent first. */
  private static final int MOST_HEADERS = 16;

  private static final int LONGEST_HEADER = 3;
  private static final int SHORTEST_MESSAGE = 4;
  private static final int LONGEST_MESSAGE = 1024;

  private final List<Burst> bursts;

  Cutter(List<Burst> bursts) {
    this.bursts = bursts;
  }

  List<Cut> cuts() {
    List<Cut> cuts = new ArrayList<>();
    hexLines().ifPresent(cuts::add);
    if (!cuts.isEmpty()) {
      return cuts;
    }
    add(cuts, "one burst is one message", "", bursts);
    escaped(cuts);
    for (String header : headers()) {
      byte[] bytes = HexFormat.of().parseHex(header);
      String words = header.toUpperCase(Locale.ROOT);
      add(cuts, "from " + words + " to the end of the burst", header, fromFirst(bytes));
      add(cuts, "from each " + words + " to the next", header, fromEach(bytes));
    }
    return cuts;
  }

  private static void add(List<Cut> cuts, String how, String header, List<Burst> pieces) {
    List<Sample> samples =
        usual(pieces.stream().filter(Cutter::isOfSize).map(Sample::binary).toList());
    if (samples.size() >= 2) {
      cuts.add(
          new Cut(
              how,
              header,
              HexLine.NONE,
              Optional.empty(),
              samples,
              pieces.size() - samples.size()));
    }
  }

  private void escaped(List<Cut> cuts) {
    EscapeSearch search = new EscapeSearch(bursts);
    List<Burst> pieces = search.pieces().stream().filter(Cutter::isOfSize).toList();
    for (Escape escape : search.escapes(pieces)) {
      List<Sample> samples =
          usual(pieces.stream().flatMap(p -> Sample.escaped(p, escape).stream()).toList());
      if (samples.size() >= 2) {
        String how =
            String.format(Locale.ROOT, "between two marks, bytes escaped by %02X", escape.mark());
        cuts.add(
            new Cut(
                how,
                "",
                HexLine.NONE,
                Optional.of(escape),
                samples,
                pieces.size() - samples.size()));
      }
    }
  }

  private static boolean isOfSize(Burst burst) {
    return burst.length() >= SHORTEST_MESSAGE && burst.length() <= LONGEST_MESSAGE;
  }

  /** The samples of those lengths that come more than once; all when none does. */
  private static List<Sample> usual(List<Sample> all) {
    Map<Integer, Integer> counts = new HashMap<>();
    all.forEach(s -> counts.merge(s.length(), 1, Integer::sum));
    int least = Math.max(2, all.size() / 10);
    List<Sample> usual =
        all.stream().filter(s -> counts.getOrDefault(s.length(), 0) >= least).toList();
    return usual.isEmpty() ? all : usual;
  }

  // ---- headers ---------------------------------------------------------------------------------

  /** Byte strings that begin bursts, or that come often anywhere; most promising first. */
  private List<String> headers() {
    Map<String, Integer> atStart = new HashMap<>();
    Map<String, Integer> anywhere = new HashMap<>();
    for (Burst burst : bursts) {
      for (int n = 1; n <= LONGEST_HEADER; n++) {
        for (int i = 0; i + n <= burst.length(); i++) {
          String hex = HexFormat.of().formatHex(burst.bytes(), i, i + n);
          if (i == 0) {
            atStart.merge(hex, 1, Integer::sum);
          }
          if (n == 2) {
            anywhere.merge(hex, 1, Integer::sum);
          }
        }
      }
    }
    Map<String, Integer> both = new LinkedHashMap<>(mostFrequent(atStart, MOST_HEADERS / 2, 2));
    int most = bursts.size() > 3 ? MOST_HEADERS / 4 : 4 * MOST_HEADERS;
    mostFrequent(anywhere, most, 3).forEach(both::putIfAbsent);
    return List.copyOf(both.keySet());
  }

  private static Map<String, Integer> mostFrequent(
      Map<String, Integer> counts, int most, int least) {
    Map<String, Integer> chosen = new LinkedHashMap<>();
    counts.entrySet().stream()
        .filter(e -> e.getValue() >= least)
        .sorted(
            Map.Entry.<String, Integer>comparingByValue()
                .reversed()
                .thenComparing(Map.Entry.comparingByKey()))
        .limit(most)
        .forEach(e -> chosen.put(e.getKey(), e.getValue()));
    return chosen;
  }

  private List<Burst> fromFirst(byte[] header) {
    List<Burst> pieces = new ArrayList<>();
    for (Burst burst : bursts) {
      int at = find(burst.bytes(), header, 0);
      if (at >= 0) {
        pieces.add(burst.part(at, burst.length()));
      }
    }
    return pieces;
  }

  private List<Burst> fromEach(byte[] header) {
    List<Burst> pieces = new ArrayList<>();
    for (Burst burst : bursts) {
      int at = find(burst.bytes(), header, 0);
      while (at >= 0) {
        int next = find(burst.bytes(), header, at + header.length);
        pieces.add(burst.part(at, next < 0 ? burst.length() : next));
        at = next;
      }
    }
    return pieces;
  }

  private static int find(byte[] bytes, byte[] wanted, int from) {
    for (int i = from; i + wanted.length <= bytes.length; i++) {
      int n = 0;
      while (n < wanted.length && bytes[i + n] == wanted[n]) {
        n++;
      }
      if (n == wanted.length) {
        return i;
      }
    }
    return -1;
  }

  // ---- lines of hex digits ---------------------------------------------------------------------

  private Optional<Cut> hexLines() {
    Map<Integer, Integer> starts = new HashMap<>();
    List<Burst> lines = new ArrayList<>();
    for (Burst burst : bursts) {
      lines(burst, lines);
    }
    lines.forEach(l -> starts.merge((int) l.bytes()[0], 1, Integer::sum));
    Optional<Integer> start =
        starts.entrySet().stream()
            .filter(e -> HexLine.digit(e.getKey()) < 0 && e.getKey() > ' ')
            .max(Map.Entry.comparingByValue())
            .map(Map.Entry::getKey);
    if (start.isEmpty()) {
      return Optional.empty();
    }
    HexLine form = new HexLine(1, endBytes(lines));
    List<Sample> samples =
        lines.stream()
            .map(l -> trimmedTo(l, start.get()))
            .flatMap(l -> Sample.hex(l, form).stream())
            .toList();
    if (samples.size() * 3 < lines.size() * 2 || samples.size() < 2) {
      return Optional.empty();
    }
    String header = HexFormat.of().toHexDigits((byte) (int) start.get());
    String how = "lines of hex digits from '" + (char) (int) start.get() + "' to carriage return";
    List<Sample> usual = usual(samples);
    return Optional.of(
        new Cut(how, header, form, Optional.empty(), usual, lines.size() - usual.size()));
  }

  /** Pieces that end with a carriage return, and a line feed where one follows. */
  private static void lines(Burst burst, List<Burst> into) {
    byte[] bytes = burst.bytes();
    int from = 0;
    for (int i = 0; i < bytes.length; i++) {
      if (bytes[i] == '\r') {
        int to = i + 1 < bytes.length && bytes[i + 1] == '\n' ? i + 2 : i + 1;
        if (to - from >= SHORTEST_MESSAGE) {
          into.add(burst.part(from, to));
        }
        from = to;
      }
    }
  }

  private static int endBytes(List<Burst> lines) {
    long withFeed = lines.stream().filter(l -> l.bytes()[l.length() - 1] == '\n').count();
    return withFeed * 2 > lines.size() ? 2 : 1;
  }

  /** From the last start mark on: what stands before it is noise or a line that broke off. */
  private static Burst trimmedTo(Burst line, int start) {
    int at = line.length() - 1;
    while (at > 0 && line.bytes()[at] != start) {
      at--;
    }
    return line.part(at, line.length());
  }
}
