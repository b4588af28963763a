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

  /** Bytes of the longest mark. */
  static final int LONGEST_HEADER = 3;

  private static final int SHORTEST_MESSAGE = 4;
  private static final int LONGEST_MESSAGE = 1024;

  /** One message in so many is of a usual length: a board may have a dozen kinds. */
  private static final int USUAL_PART = 40;

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
    add(cuts, "one burst is one message", b -> List.of(Sample.binary(b)));
    escaped(cuts);
    for (String header : headers()) {
      byte[] bytes = HexFormat.of().parseHex(header);
      String words = header.toUpperCase(Locale.ROOT);
      add(cuts, "from " + words + " to the end of the burst", b -> fromFirst(b, bytes));
      add(cuts, "from each " + words + " to the next", b -> fromEach(b, bytes));
    }
    return cuts;
  }

  private void add(List<Cut> cuts, String how, Cut.Rule rule) {
    cut(how, HexLine.NONE, Optional.empty(), rule).ifPresent(cuts::add);
  }

  private Optional<Cut> cut(String how, HexLine line, Optional<Escape> escape, Cut.Rule rule) {
    List<Sample> pieces = bursts.stream().flatMap(b -> rule.pieces(b).stream()).toList();
    List<Sample> samples = usual(pieces.stream().filter(Cutter::isOfSize).toList());
    int others = pieces.size() - samples.size();
    return samples.size() < 2
        ? Optional.empty()
        : Optional.of(new Cut(how, line, escape, rule, samples, others));
  }

  private void escaped(List<Cut> cuts) {
    EscapeSearch.of(bursts).forEach(search -> escaped(cuts, search));
  }

  private void escaped(List<Cut> cuts, EscapeSearch search) {
    List<Burst> pieces = bursts.stream().flatMap(b -> search.pieces(b).stream()).toList();
    for (Escape escape : search.escapes(pieces)) {
      String how =
          String.format(Locale.ROOT, "between two marks, bytes escaped by %02X", escape.mark())
              + (escape.behind() > 0 ? ", check value behind the end mark" : "");
      Cut.Rule rule =
          b -> search.pieces(b).stream().flatMap(p -> Sample.escaped(p, escape).stream()).toList();
      cut(how, HexLine.NONE, Optional.of(escape), rule).ifPresent(cuts::add);
    }
  }

  static boolean isOfSize(Sample piece) {
    return piece.wire().length >= SHORTEST_MESSAGE && piece.wire().length <= LONGEST_MESSAGE;
  }

  /** The samples of those lengths that come more than once; all when none does. */
  private static List<Sample> usual(List<Sample> all) {
    Map<Integer, Integer> counts = new HashMap<>();
    all.forEach(s -> counts.merge(s.length(), 1, Integer::sum));
    int least = Math.max(2, all.size() / USUAL_PART);
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

  private static List<Sample> fromFirst(Burst burst, byte[] header) {
    int at = find(burst.bytes(), header, 0);
    return at < 0 ? List.of() : List.of(Sample.binary(burst.part(at, burst.length())));
  }

  private static List<Sample> fromEach(Burst burst, byte[] header) {
    List<Sample> pieces = new ArrayList<>();
    int at = find(burst.bytes(), header, 0);
    while (at >= 0) {
      int next = find(burst.bytes(), header, at + header.length);
      pieces.add(Sample.binary(burst.part(at, next < 0 ? burst.length() : next)));
      at = next;
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
    lines.forEach(l -> starts.merge(beforeDigits(l), 1, Integer::sum));
    Optional<Integer> start =
        starts.entrySet().stream()
            .filter(e -> e.getKey() > ' ')
            .max(Map.Entry.comparingByValue())
            .map(Map.Entry::getKey);
    if (start.isEmpty()) {
      return Optional.empty();
    }
    int mark = start.get();
    HexLine form = new HexLine(1, endBytes(lines));
    Cut.Rule rule =
        b -> {
          List<Burst> own = new ArrayList<>();
          lines(b, own);
          return own.stream().flatMap(l -> Sample.hex(trimmedTo(l, mark), form).stream()).toList();
        };
    String how = "lines of hex digits from '" + (char) mark + "' to carriage return";
    return cut(how, form, Optional.empty(), rule)
        .filter(c -> c.samples().size() * 3 >= lines.size() * 2);
  }

  /**
   * The character before the digits that end a line and are most of it: a question may stand before
   * it, and a line of text may end with a check value. 0 for none.
   */
  private static int beforeDigits(Burst line) {
    int end = line.length() - 1;
    while (end >= 0 && line.bytes()[end] <= ' ' && line.bytes()[end] >= 0) {
      end--;
    }
    int at = end;
    while (at >= 0 && HexLine.digit(line.bytes()[at]) >= 0) {
      at--;
    }
    return at < 0 || (end - at) * 2 < line.length() ? 0 : line.bytes()[at];
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
