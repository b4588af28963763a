package org.cellherd.protocol.spec;

import java.io.ByteArrayOutputStream;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.cellherd.pack.Reading;
import org.cellherd.protocol.Dialogue;
import org.cellherd.protocol.Dialogue.Progress;
import org.cellherd.protocol.Refusal;
import org.cellherd.protocol.Request;
import org.cellherd.protocol.Responder;
import org.cellherd.protocol.frame.Bytes;
import org.cellherd.protocol.frame.FrameLayout;
import org.cellherd.toml.Problems;

/** Runs a description's vectors. Pure: the texts are handed in. */
public final class VectorRun {

  /**
   * How one vector went.
   *
   * @param vector its name
   * @param line line of the vectors' file
   * @param passed true when all is as it says
   * @param detail what was found and what was expected; "" when passed
   */
  public record Outcome(String vector, int line, boolean passed, String detail) {}

  private final SpecDecoder decoder;

  private VectorRun(SpecDecoder decoder) {
    this.decoder = decoder;
  }

  /** Runs all vectors of a file; none where the file itself has problems. */
  public static List<Outcome> run(
      SpecDecoder decoder, String fileName, String text, Problems problems) {
    List<Outcome> outcomes = new ArrayList<>();
    List<Vector> vectors = VectorReader.read(fileName, text, problems);
    for (Vector vector : problems.isEmpty() ? vectors : List.<Vector>of()) {
      String wrong = new VectorRun(decoder).check(vector);
      outcomes.add(new Outcome(vector.name(), vector.line(), wrong.isEmpty(), wrong));
    }
    return outcomes;
  }

  /** What the vectors leave untried: a message without one, a check without a refused one. */
  public static List<String> gaps(SpecDecoder decoder, String fileName, String text) {
    List<Vector> vectors = VectorReader.read(fileName, text, new Problems());
    List<String> gaps = new ArrayList<>();
    for (Message message : decoder.spec().messages()) {
      boolean tried =
          vectors.stream()
              .anyMatch(
                  v ->
                      v.refused().isEmpty()
                          && (v.message().equals(message.name()) || v.message().isEmpty()));
      if (!tried) {
        gaps.add("no vector shows the message " + message.name());
      }
    }
    boolean isChecked =
        decoder.spec().replies() instanceof FrameLayout layout
            ? layout.description().checksum().isPresent()
            : decoder.spec().replies() instanceof LineFraming lines
                && !lines.form().check().isNone();
    if (isChecked && vectors.stream().noneMatch(v -> v.refused().isPresent())) {
      gaps.add("no vector is refused: show one frame with a wrong check value at least");
    }
    return gaps;
  }

  private String check(Vector vector) {
    SpecDialogue dialogue = decoder.talk(vector.address());
    dialogue.begin();
    Progress progress = Progress.NEED_MORE;
    List<String> why = List.of();
    for (Vector.Exchange exchange : vector.exchange()) {
      String wrong = ask(dialogue, vector, exchange);
      if (!wrong.isEmpty()) {
        return wrong;
      }
      VectorTalk talk = new VectorTalk(dialogue, decoder.spec().listenOnly());
      progress = talk.feed(exchange.answer().array());
      why = talk.troubles();
      if (progress != Progress.ANSWERED && vector.refused().isEmpty()) {
        return "not taken: "
            + (why.isEmpty() ? "more was waited for" : String.join("; ", why))
            + (vector.message().isEmpty() ? "; " + String.join("; ", dialogue.missing()) : "");
      }
    }
    if (vector.refused().isPresent()) {
      return checkRefused(dialogue, progress, vector.refused().get());
    }
    String wrong = checkReading(dialogue, vector, why);
    return wrong.isEmpty() && vector.encodes() ? checkPlayed(vector) : wrong;
  }

  private String ask(SpecDialogue dialogue, Vector vector, Vector.Exchange exchange) {
    if (decoder.spec().listenOnly()) {
      return "";
    }
    Optional<Request> request =
        vector.message().isEmpty()
            ? dialogue.nextRequest()
            : messageOf(vector).map(m -> dialogue.ask(m, page(m, vector)));
    if (request.isEmpty()) {
      return vector.message().isEmpty()
          ? "the board is asked for fewer messages"
          : "no message is called " + vector.message();
    }
    Bytes sent = Bytes.of(request.get().bytes());
    return exchange.request().isEmpty() || exchange.request().get().equals(sent)
        ? ""
        : "the request is " + sent + ", expected " + exchange.request().get();
  }

  /** The page that a vector shows, counted from 0. */
  private static int page(Message message, Vector vector) {
    long first = message.pages().map(Pages::first).orElse(0L);
    return (int) Math.max(0, vector.page() - first);
  }

  private Optional<Message> messageOf(Vector vector) {
    return decoder.spec().messages().stream()
        .filter(m -> m.name().equals(vector.message()))
        .findFirst();
  }

  private static String checkRefused(
      Dialogue dialogue, Progress progress, Refusal.Reason expected) {
    Optional<Refusal> refusal = dialogue.lastRefusal();
    if (progress == Progress.ANSWERED) {
      return "taken, expected a refusal: " + expected.word();
    }
    if (refusal.isEmpty()) {
      return "not seen as a frame at all, expected a refusal: " + expected.word();
    }
    return refusal.get().reason() == expected
        ? ""
        : "refused: " + text(refusal.get()) + ", expected " + expected.word();
  }

  private static String checkReading(SpecDialogue dialogue, Vector vector, List<String> why) {
    Optional<Reading> reading = reading(dialogue, vector);
    Reading expected = vector.reading().orElseThrow();
    if (reading.isEmpty()) {
      return "the reading is not whole: "
          + String.join("; ", dialogue.missing())
          + (why.isEmpty() ? "" : "; " + String.join("; ", why));
    }
    List<String> differences = new ArrayList<>(Readings.differences(reading.get(), expected));
    vector
        .extras()
        .forEach(
            (name, text) -> {
              List<String> shown =
                  dialogue.extras().stream()
                      .filter(e -> e.name().equals(name))
                      .map(e -> '"' + e.text() + '"')
                      .toList();
              if (!shown.contains('"' + text + '"')) {
                differences.add(
                    name
                        + (shown.isEmpty()
                            ? " is not shown"
                            : " is shown as " + String.join(", ", shown))
                        + ", expected \""
                        + text
                        + '"');
              }
            });
    return String.join("; ", differences);
  }

  /**
   * The board that is played must be read as the vector is. What a reading does not hold, such as a
   * serial number, need not be the same, nor need fillers, frames passed over and the frames'
   * order.
   */
  private String checkPlayed(Vector vector) {
    SpecDialogue dialogue = decoder.talk(vector.address());
    Reading reading = vector.reading().orElseThrow();
    dialogue.begin();
    String refused =
        vector.message().isEmpty()
            ? playAll(dialogue, vector, reading)
            : playOne(dialogue, vector, messageOf(vector).orElseThrow(), reading);
    String wrong = refused.isEmpty() ? checkReading(dialogue, vector, reading) : refused;
    return wrong.isEmpty()
        ? ""
        : "the board that \"simulate\" plays from it differs: "
            + wrong
            + "; encodes = false leaves this out";
  }

  private String playAll(SpecDialogue dialogue, Vector vector, Reading reading) {
    Responder board = decoder.responder(vector.address()).orElseThrow();
    if (decoder.spec().listenOnly()) {
      return hear(dialogue, board.announce(reading));
    }
    for (var r = dialogue.nextRequest(); r.isPresent(); r = dialogue.nextRequest()) {
      String refused = hear(dialogue, board.feed(r.get().bytes(), () -> reading));
      if (!refused.isEmpty()) {
        return refused;
      }
    }
    return "";
  }

  private String playOne(SpecDialogue dialogue, Vector vector, Message message, Reading reading) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    List<byte[]> all = message.body().encode(reading);
    boolean isOnePage = message.isAskedByPage() || vector.page() >= 0;
    int page = Math.min(page(message, vector), all.size() - 1);
    for (byte[] data : isOnePage ? List.of(all.get(page)) : all) {
      out.writeBytes(decoder.spec().replies().build(vector.address(), message.code(), data));
    }
    if (!decoder.spec().listenOnly()) {
      dialogue.ask(message, page(message, vector));
    }
    return hear(dialogue, out.toByteArray());
  }

  private String hear(SpecDialogue dialogue, byte[] bytes) {
    VectorTalk talk = new VectorTalk(dialogue, decoder.spec().listenOnly());
    talk.feed(bytes);
    return String.join("; ", talk.troubles());
  }

  private static String checkReading(SpecDialogue dialogue, Vector vector, Reading expected) {
    Optional<Reading> reading = reading(dialogue, vector);
    return reading.isEmpty()
        ? String.join("; ", dialogue.missing())
        : String.join("; ", Readings.differences(reading.get(), expected));
  }

  private static Optional<Reading> reading(SpecDialogue dialogue, Vector vector) {
    return vector.message().isEmpty() ? dialogue.reading(0) : dialogue.partialReading(0);
  }

  static String text(Refusal refusal) {
    return refusal.reason().word() + " at byte " + refusal.offset() + ", " + refusal.detail();
  }
}
