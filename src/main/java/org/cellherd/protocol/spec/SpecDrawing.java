package org.cellherd.protocol.spec;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.TreeMap;
import java.util.function.Function;
import org.cellherd.pack.Facts;
import org.cellherd.protocol.frame.Framing;

/** Draws a description byte by byte, as text or as facts. Used once. */
public final class SpecDrawing {
  private final Spec spec;
  private final SpecOutline outline;
  private final StringBuilder out = new StringBuilder();

  private SpecDrawing(Spec spec) {
    this.spec = spec;
    this.outline = new SpecOutline(spec);
  }

  public static String of(Spec spec) {
    return new SpecDrawing(spec).draw();
  }

  /** All that the drawing says, under names. */
  public static Facts facts(Spec spec) {
    return new SpecDrawing(spec).facts();
  }

  // ---- text ------------------------------------------------------------------------------------

  private String draw() {
    line(spec.id() + ": " + spec.title());
    line(String.join(", ", outline.line()));
    line("");
    if (!spec.listenOnly()) {
      frame("request", spec.requests());
    }
    frame(spec.listenOnly() ? "frame" : "answer", spec.replies());
    results().forEach(r -> line("        " + r));
    for (Message message : spec.messages()) {
      line("");
      List<String> head = new ArrayList<>(List.of(message.name()));
      head.addAll(outline.told(message));
      line(String.join(", ", head));
      rows(SpecOutline.rows(message));
    }
    return out.toString();
  }

  private void frame(String name, Framing framing) {
    List<String> parts = FrameWords.parts(framing);
    List<String> details = new ArrayList<>(FrameWords.details(framing));
    String first = parts.isEmpty() ? details.remove(0) : "| " + String.join(" | ", parts) + " |";
    line(String.format(Locale.ROOT, "%-8s%s", name, first));
    details.forEach(d -> line("        " + d));
  }

  /** What a board says in place of an answer. */
  private List<String> results() {
    TreeMap<Long, String> words = new TreeMap<>(spec.results().words());
    spec.results().busy().forEach(code -> words.putIfAbsent(code, "busy"));
    List<String> lines = new ArrayList<>();
    words.forEach(
        (code, word) ->
            lines.add(
                "no "
                    + code
                    + " = "
                    + word
                    + (spec.results().busy().contains(code) ? " (asked again)" : "")));
    return spec.listenOnly() ? List.of() : lines;
  }

  private void rows(List<SpecOutline.Row> rows) {
    int at = width(rows, 10, SpecOutline.Row::at);
    int times = width(rows, 8, SpecOutline.Row::times);
    int coding = width(rows, 22, SpecOutline.Row::coding);
    String pattern = "  %-" + at + "s %-" + times + "s %-" + coding + "s %s";
    for (SpecOutline.Row row : rows) {
      line(
          String.format(Locale.ROOT, pattern, row.at(), row.times(), row.coding(), what(row))
              .stripTrailing());
    }
  }

  private static int width(
      List<SpecOutline.Row> rows, int least, Function<SpecOutline.Row, String> column) {
    return Math.max(least, rows.stream().mapToInt(r -> column.apply(r).length()).max().orElse(0));
  }

  private static String what(SpecOutline.Row row) {
    String target = target(row.field());
    String name = row.field().name().equals(target) ? "" : row.field().name();
    List<String> all = new ArrayList<>(List.of(target, name));
    all.removeIf(String::isEmpty);
    all.addAll(row.words());
    return String.join(", ", all);
  }

  private static String target(Field field) {
    Target target = field.meaning().target();
    return target == Target.EXTRA ? "" : target.name().toLowerCase(Locale.ROOT);
  }

  private void line(String text) {
    out.append(text).append('\n');
  }

  // ---- facts -----------------------------------------------------------------------------------

  private Facts facts() {
    List<Facts> frames = new ArrayList<>();
    if (!spec.listenOnly()) {
      frames.add(facts("request", spec.requests()));
    }
    frames.add(facts(spec.listenOnly() ? "frame" : "answer", spec.replies()));
    return Facts.of()
        .put("spec", spec.id())
        .put("title", spec.title())
        .put("line", outline.line())
        .put("frames", frames)
        .put("refusals", results())
        .put("messages", spec.messages().stream().map(this::facts).toList())
        .build();
  }

  private static Facts facts(String of, Framing framing) {
    return Facts.of()
        .put("of", of)
        .put("parts", FrameWords.parts(framing))
        .put("made", FrameWords.details(framing))
        .build();
  }

  private Facts facts(Message message) {
    return Facts.of()
        .put("message", message.name())
        .put("told", outline.told(message))
        .put("fields", SpecOutline.rows(message).stream().map(SpecDrawing::facts).toList())
        .build();
  }

  private static Facts facts(SpecOutline.Row row) {
    Field field = row.field();
    Facts.Builder facts =
        Facts.of()
            .put("at", row.at().strip())
            .put("times", row.times().replace("x ", ""))
            .put("coding", row.coding())
            .put("as", target(field))
            .put("name", field.name());
    FieldWords.numbers(field, facts);
    return facts.put("meaning", row.words()).build();
  }
}
