package org.cellherd.protocol;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.cellherd.pack.Reading;
import org.cellherd.protocol.Dialogue.Progress;
import org.cellherd.protocol.spec.Specs;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** What other boards, or other questions, are answered is never taken as our answer. */
class ForeignAnswerTest {
  private final Reading truth = PlausibleReadings.any(new Random(4));

  /** Boards that are asked. */
  static List<Decoder> asked() {
    List<Decoder> asked = new ArrayList<>(Specs.shipped());
    asked.add(Specs.find("sunspec").orElseThrow());
    asked.removeIf(d -> d.dialogue(1).isListenOnly());
    return asked;
  }

  /** A line on which a board's number is told. */
  private static boolean hasAddress(Decoder decoder) {
    return !decoder.id().equals("tansy-4");
  }

  /** A question and its answer. */
  private static final class Exchange {
    private final byte[] request;
    private final byte[] answer;

    Exchange(byte[] request, byte[] answer) {
      this.request = request;
      this.answer = answer;
    }

    byte[] request() {
      return request;
    }

    byte[] answer() {
      return answer;
    }
  }

  private List<Exchange> cycle(Decoder decoder, int address) {
    List<Exchange> all = new ArrayList<>();
    Dialogue dialogue = decoder.dialogue(address);
    Responder board = decoder.responder(address).orElseThrow();
    dialogue.begin();
    for (Optional<Request> r = dialogue.nextRequest(); r.isPresent(); r = dialogue.nextRequest()) {
      byte[] answer = board.feed(r.get().bytes(), () -> truth);
      all.add(new Exchange(r.get().bytes(), answer));
      assertThat(feed(dialogue, answer)).isEqualTo(Progress.ANSWERED);
    }
    return all;
  }

  private static Progress feed(Dialogue dialogue, byte[] bytes) {
    return dialogue.feed(bytes, 0, bytes.length);
  }

  @ParameterizedTest
  @MethodSource("asked")
  void anotherBoardsTalkIsPassedOverAndOurAnswerTaken(Decoder decoder) {
    if (!hasAddress(decoder)) {
      return;
    }
    List<Exchange> others = cycle(decoder, 2);
    Dialogue dialogue = decoder.dialogue(1);
    dialogue.begin();
    for (Exchange ours : cycle(decoder, 1)) {
      dialogue.nextRequest();
      for (Exchange other : others) {
        assertThat(feed(dialogue, other.request())).isNotEqualTo(Progress.ANSWERED);
        assertThat(feed(dialogue, other.answer())).isNotEqualTo(Progress.ANSWERED);
      }
      if (dialogue.endsBySilence()) {
        assertThat(dialogue.silence()).isNotEqualTo(Progress.ANSWERED);
      }
      assertThat(feed(dialogue, ours.answer()))
          .as("%s", dialogue.lastRefusal())
          .isEqualTo(Progress.ANSWERED);
    }
  }

  @ParameterizedTest
  @MethodSource("asked")
  void theAnswerToAnotherQuestionIsNotTakenWhereItDiffersAtAll(Decoder decoder) {
    List<Exchange> all = cycle(decoder, 1);
    Dialogue dialogue = decoder.dialogue(1);
    dialogue.begin();
    for (Exchange ours : all) {
      dialogue.nextRequest();
      for (Exchange other : all) {
        // Registers read in equal number give answers that no byte tells apart.
        if (other.answer().length != ours.answer().length) {
          assertThat(feed(dialogue, other.answer())).isNotEqualTo(Progress.ANSWERED);
        }
      }
      dialogue.retry();
      assertThat(feed(dialogue, ours.answer())).isEqualTo(Progress.ANSWERED);
    }
  }

  @ParameterizedTest
  @MethodSource("asked")
  void whatComesUnaskedIsNotTaken(Decoder decoder) {
    Dialogue dialogue = decoder.dialogue(1);
    for (Exchange ours : cycle(decoder, 1)) {
      assertThat(feed(dialogue, ours.answer())).isNotEqualTo(Progress.ANSWERED);
    }
    assertThat(dialogue.silence()).isNotEqualTo(Progress.ANSWERED);
  }
}
