package org.cellherd.protocol.spec;

import java.nio.charset.StandardCharsets;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Spoken;
import org.cellherd.protocol.Refusal;
import org.jspecify.annotations.Nullable;

/** The values of a text line. Immutable. */
final class TextBody implements MessageBody {

  private final LineStyle style;
  private final String starts;
  private final List<TextField> fields;
  private final int longest;

  /**
   * A body.
   *
   * @param style how values stand in the line
   * @param starts text with which this kind of line begins, or ""
   * @param fields the values
   * @param longest longest line, characters
   */
  public TextBody(LineStyle style, String starts, List<TextField> fields, int longest) {
    this.style = style;
    this.starts = starts;
    this.fields = List.copyOf(fields);
    this.longest = longest;
  }

  /** Text with which this kind of line begins, or "". */
  String starts() {
    return starts;
  }

  public List<TextField> fields() {
    return fields;
  }

  @Override
  public int length(byte[] data, int available, RawValues told) {
    return Integer.MAX_VALUE;
  }

  @Override
  public boolean mayBe(int length) {
    return length <= longest;
  }

  @Override
  public int least() {
    return Math.max(1, starts.length());
  }

  @Override
  public int most() {
    return longest;
  }

  @Override
  public boolean accumulates() {
    return style.kind() == LineStyle.Kind.XDR;
  }

  @Override
  public boolean isComplete(Draft draft) {
    for (TextField field : fields) {
      for (int i = 0; i < field.field().repetition().count(); i++) {
        if (!field.optional() && !draft.saw(field.part(i))) {
          return false;
        }
      }
    }
    return true;
  }

  @Override
  public Optional<Refusal> decode(byte[] data, int dataOffset, Draft draft) {
    String line = new String(data, StandardCharsets.ISO_8859_1);
    Map<String, String> values = new HashMap<>();
    List<String> pieces = style.split(line.substring(Math.min(starts.length(), line.length())));
    switch (style.kind()) {
      case CSV -> columns(pieces, values);
      case KEY_VALUE -> pairs(pieces, values);
      case XDR -> {
        if (pieces.size() % 4 != 0) {
          return refuse(
              Refusal.Reason.LENGTH, Spoken.counted(pieces.size(), "part") + ", no groups of four");
        }
        groups(pieces, values);
      }
    }
    return put(values, draft);
  }

  private static void columns(List<String> pieces, Map<String, String> values) {
    for (int i = 0; i < pieces.size(); i++) {
      values.put(Integer.toString(i + 1), pieces.get(i));
    }
  }

  private void pairs(List<String> pieces, Map<String, String> values) {
    for (String piece : pieces) {
      int at = piece.indexOf(style.keySeparator());
      if (at > 0) {
        values.put(piece.substring(0, at).strip(), piece.substring(at + 1).strip());
      }
    }
  }

  private static void groups(List<String> pieces, Map<String, String> values) {
    for (int i = 0; i + 3 < pieces.size(); i += 4) {
      values.put(pieces.get(i) + ":" + pieces.get(i + 3), pieces.get(i + 1));
    }
  }

  private Optional<Refusal> put(Map<String, String> values, Draft draft) {
    Map<String, Long> raws = new HashMap<>();
    for (TextField field : fields) {
      String text = values.get(place(field, 0));
      Optional<TextNumber> number = text == null ? Optional.empty() : TextNumber.of(text);
      number.ifPresent(n -> raws.put(field.field().name(), n.raw()));
    }
    for (TextField field : fields) {
      for (int i = 0; i < field.field().repetition().count(); i++) {
        Optional<Refusal> refusal = put(field, i, values.get(place(field, i)), raws, draft);
        if (refusal.isPresent()) {
          return refusal;
        }
      }
    }
    return Optional.empty();
  }

  private String place(TextField field, int index) {
    return switch (style.kind()) {
      case CSV -> Integer.toString(field.column() + index * field.field().place().stride());
      case KEY_VALUE -> field.key(index);
      case XDR -> field.transducer() + ":" + field.key(index);
    };
  }

  private Optional<Refusal> put(
      TextField field, int index, @Nullable String text, Map<String, Long> raws, Draft draft) {
    String name = field.field().name();
    if (text == null) {
      return field.optional() || accumulates()
          ? Optional.empty()
          : refuse(Refusal.Reason.LENGTH, name + " is not in the line");
    }
    draft.see(field.part(index));
    if (field.field().meaning().target() == Target.IDENTITY) {
      draft.identity(text);
      return Optional.empty();
    }
    if (text.isEmpty()) {
      return Optional.empty();
    }
    FieldReading reading = new FieldReading(field.field(), index, raws::get, draft);
    Optional<TextNumber> number = TextNumber.of(text);
    if (number.isEmpty()) {
      return reading.noNumber(0, "is \"" + shown(text) + "\", no number");
    }
    long raw = number.get().raw();
    Field.Meaning meaning = field.field().meaning();
    if (meaning.missing().contains(raw) && number.get().isWhole()) {
      return Optional.empty();
    }
    if (meaning.constant().required() && raw != meaning.constant().value()) {
      String must = " must be " + meaning.constant().value();
      return refuse(Refusal.Reason.FIELD, name + " is " + shown(text) + "," + must);
    }
    if (meaning.target().isCoded() && !number.get().isWhole()) {
      return reading.noNumber(0, "is \"" + shown(text) + "\", no whole number of 64 bits");
    }
    return reading.put(raw, number.get().value(), 0);
  }

  private static String shown(String text) {
    String clean = text.replaceAll("[^ -~]", "?");
    return clean.length() <= 20 ? clean : clean.substring(0, 20) + "...";
  }

  private static Optional<Refusal> refuse(Refusal.Reason reason, String detail) {
    return Optional.of(new Refusal(reason, 0, detail));
  }

  @Override
  public List<byte[]> encode(Reading reading) {
    return new TextWriter(style, starts, fields, longest, reading).lines();
  }
}
