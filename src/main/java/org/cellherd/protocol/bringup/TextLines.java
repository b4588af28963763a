package org.cellherd.protocol.bringup;

import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.stream.Collectors;
import org.cellherd.pack.PlainText;
import org.cellherd.pack.Spoken;

/** Lines of text as they were found in a capture, and what they may mean. Immutable. */
final class TextLines {
  private static final int FEWEST_LINES = 3;
  private static final int MOST_LINES = 2000;
  private static final int MOST_TOLD = 40;
  private static final int LONGEST_EXAMPLE = 80;

  /** One byte in so many may be no text. */
  private static final int TEXT_PART = 20;

  private final List<String> lines;
  private final int others;
  private final boolean endsWithFeed;
  private final String request;
  private final Optional<LineCheckFit> check;
  private final char separator;
  private final char keySeparator;
  private final LineForm form;
  private final String starts;
  private final List<TextColumn> columns;

  private TextLines(List<String> lines, int others, boolean endsWithFeed, String request) {
    this.lines = lines;
    this.others = others;
    this.endsWithFeed = endsWithFeed;
    this.check = LineCheckFit.best(lines);
    String asked = request.strip();
    this.request = check.map(c -> c.body(asked)).orElse(asked);
    List<String> bodies = lines.stream().map(l -> check.map(c -> c.body(l)).orElse(l)).toList();
    this.separator = LineForm.separator(bodies);
    this.keySeparator = LineForm.keySeparator(bodies);
    this.form = LineForm.of(bodies, separator);
    this.starts = starts(bodies);
    this.columns = form == LineForm.SLCAN ? List.of() : columns(bodies);
  }

  /**
   * The lines of some bursts of bytes.
   *
   * @param bursts what came together
   * @param request what was sent to the board most often, empty for nothing
   * @return empty when this is no text
   */
  public static Optional<TextLines> of(List<byte[]> bursts, byte[] request) {
    StringBuilder all = new StringBuilder();
    bursts.forEach(b -> all.append(new String(b, StandardCharsets.ISO_8859_1)));
    long strange = all.chars().filter(c -> !isText(c)).count();
    // Among lines that end with a carriage return, noise makes a line feed now and then.
    long feeds = all.chars().filter(c -> c == '\n').count();
    boolean feed = feeds * 2 > all.chars().filter(c -> c == '\r').count();
    if (all.length() == 0 || strange * TEXT_PART > all.length()) {
      return Optional.empty();
    }
    List<String> good = new ArrayList<>();
    int bad = 0;
    for (String line : LineForm.split(all.toString(), feed ? '\n' : '\r')) {
      if (!line.isEmpty() && line.chars().allMatch(TextLines::isText)) {
        good.add(line);
      } else if (!line.isEmpty()) {
        bad++;
      }
    }
    if (good.size() < FEWEST_LINES) {
      return Optional.empty();
    }
    List<String> some = good.size() > MOST_LINES ? good.subList(0, MOST_LINES) : good;
    String asked = new String(request, StandardCharsets.ISO_8859_1);
    return Optional.of(new TextLines(List.copyOf(some), bad, feed, asked));
  }

  private static boolean isText(int c) {
    return (c >= ' ' && c < 127) || c == '\r' || c == '\n' || c == '\t';
  }

  /** What all lines begin with, up to the last separator of it that is followed by values. */
  private String starts(List<String> bodies) {
    Map<String, Integer> heads = new HashMap<>();
    for (String body : bodies) {
      int at = body.indexOf(separator);
      String head = at < 0 ? "" : body.substring(0, at + 1);
      boolean isWord = head.length() > 1 && TextColumn.number(head.substring(0, at)).isEmpty();
      if (form != LineForm.KEY_VALUE && isWord) {
        heads.merge(head, 1, Integer::sum);
      }
    }
    return heads.entrySet().stream()
        .max(Map.Entry.<String, Integer>comparingByValue().thenComparing(Map.Entry::getKey))
        .map(Map.Entry::getKey)
        .orElse("");
  }

  private List<TextColumn> columns(List<String> bodies) {
    Map<String, List<Double>> numbers = new LinkedHashMap<>();
    for (String body : bodies) {
      if (body.startsWith(starts)) {
        form.values(body.substring(starts.length()), separator, keySeparator)
            .forEach(
                (name, text) ->
                    TextColumn.number(text)
                        .ifPresent(
                            v -> numbers.computeIfAbsent(name, k -> new ArrayList<>()).add(v)));
      }
    }
    int least = (int) bodies.stream().filter(b -> b.startsWith(starts)).count() / 10 + 1;
    return numbers.entrySet().stream()
        .filter(e -> e.getValue().size() >= least)
        .map(e -> new TextColumn(e.getKey(), e.getValue()))
        .toList();
  }

  /** The check value's name; empty when none was found. */
  public Optional<String> checksum() {
    return check.map(c -> c.checksum().word());
  }

  /** The odds that the check value is chance are 1 in 2^bits; 0 without one. */
  public int bits() {
    return check.map(LineCheckFit::bits).orElse(0);
  }

  /** How the lines are made, in words. */
  public List<String> sentences() {
    List<String> all = new ArrayList<>();
    String example = lines.get(0).substring(0, Math.min(LONGEST_EXAMPLE, lines.get(0).length()));
    all.add(
        Spoken.counted(lines.size(), "line")
            + " of text, such as \""
            + example
            + (others == 0 ? "\"." : "\", and " + others + " broken."));
    all.add(formText());
    if (form != LineForm.SLCAN) {
      all.add(check.map(TextLines::checkText).orElse("No check value was found at their end."));
    }
    columns.stream().limit(MOST_TOLD).map(this::columnText).forEach(all::add);
    List<TextColumn> cells = cells();
    if (!cells.isEmpty()) {
      all.add(cells.size() + " of them look like cell voltages in " + cellUnit() + ".");
    }
    // A tab or a carriage return among the characters of a line is no text for people.
    return all.stream().map(PlainText::marked).toList();
  }

  private String formText() {
    return switch (form) {
      case CSV -> "They hold values in columns, parted by '" + separator + "'.";
      case KEY_VALUE ->
          "They hold pairs of key and value, parted by '%s', key and value by '%s'."
              .formatted(separator, keySeparator);
      case XDR -> "They are NMEA 0183 transducer sentences.";
      case SLCAN -> "They are CAN frames as an slcan adapter writes them: " + identifiers();
    };
  }

  private String columnText(TextColumn column) {
    String what = form == LineForm.CSV ? "Column " : "Value ";
    return what + column.name() + " runs from " + column.lowest() + " to " + column.highest() + ".";
  }

  private static String checkText(LineCheckFit fit) {
    return "The check value is "
        + fit.checksum().word()
        + " in hex digits behind '"
        + fit.mark()
        + "', over the line from character "
        + (fit.skip() + 1)
        + " on. "
        + "It passes in "
        + Spoken.counted(fit.passed(), "different line")
        + ".";
  }

  private String identifiers() {
    Map<String, Integer> counts = new TreeMap<>();
    for (String line : lines) {
      int digits = line.startsWith("T") ? 8 : 3;
      if (line.length() > digits) {
        counts.merge(line.substring(1, digits + 1).toUpperCase(Locale.ROOT), 1, Integer::sum);
      }
    }
    String shown =
        counts.entrySet().stream()
            .limit(MOST_TOLD)
            .map(e -> e.getKey() + " (" + Spoken.counted(e.getValue(), "time") + ")")
            .collect(Collectors.joining(", "));
    return shown + (counts.size() > MOST_TOLD ? " and more." : ".");
  }

  private String cellUnit() {
    return TextColumn.cells(columns, "V").isEmpty() ? "mV" : "V";
  }

  private List<TextColumn> cells() {
    return TextColumn.cells(columns, cellUnit());
  }

  /** True when the lines are CAN frames. */
  public boolean isOfCan() {
    return form == LineForm.SLCAN;
  }

  /** True when a line is a CAN frame. */
  public static boolean isCanLine(String line) {
    return LineForm.isCanLine(line);
  }

  /** The part of a description from {@code [frame]} on; empty for CAN frames. */
  public Optional<String> draft() {
    if (form == LineForm.SLCAN) {
      return Optional.empty();
    }
    return Optional.of(
        new LineDraft(form, separator, keySeparator, starts, endsWithFeed, request, check, columns)
            .text(cells(), cellUnit()));
  }
}
