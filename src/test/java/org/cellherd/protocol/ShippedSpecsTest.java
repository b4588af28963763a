package org.cellherd.protocol;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.cellherd.pack.Reading;
import org.cellherd.protocol.spec.Specs;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** Each shipped description speaks both sides of its wire. */
class ShippedSpecsTest {

  static List<String> names() {
    return Specs.shippedNames();
  }

  @ParameterizedTest
  @MethodSource("names")
  void whatABoardTellsOnceItTellsAgainUnchanged(String name) {
    Decoder decoder = Specs.find(name).orElseThrow();
    for (int seed = 0; seed < 200; seed++) {
      Reading told = talk(decoder, PlausibleReadings.any(new Random(seed)));

      Reading again = talk(decoder, told);

      assertThat(again).as("%s, seed %d", name, seed).isEqualTo(told);
    }
  }

  @ParameterizedTest
  @MethodSource("names")
  void theAddressOfTheBoardIsHeard(String name) {
    Decoder decoder = Specs.find(name).orElseThrow();
    Dialogue dialogue = decoder.dialogue(5);
    Responder other = decoder.responder(6).orElseThrow();
    if (dialogue.isListenOnly() || name.equals("tansy-4")) {
      return;
    }
    dialogue.begin();

    byte[] request = dialogue.nextRequest().orElseThrow().bytes();

    assertThat(other.feed(request, () -> PlausibleReadings.any(new Random(1)))).isEmpty();
  }

  static Reading talk(Decoder decoder, Reading truth) {
    Dialogue dialogue = decoder.dialogue(1);
    Responder responder = decoder.responder(1).orElseThrow();
    dialogue.begin();
    if (dialogue.isListenOnly()) {
      byte[] said = responder.announce(truth);
      Dialogue.Progress progress = dialogue.feed(said, 0, said.length);
      for (int i = 0; i < 32; i++) {
        assertThat(progress).isNotEqualTo(Dialogue.Progress.REFUSED);
        Optional<Reading> reading = dialogue.reading(truth.timeMs());
        if (reading.isPresent()) {
          return reading.get();
        }
        progress = dialogue.feed(said, 0, 0);
      }
    }
    for (Optional<Request> r = dialogue.nextRequest(); r.isPresent(); r = dialogue.nextRequest()) {
      byte[] reply = responder.feed(r.get().bytes(), () -> truth);
      assertThat(dialogue.bytesWanted()).isBetween(1, Math.max(1, reply.length));
      assertThat(dialogue.feed(reply, 0, reply.length))
          .as("%s %s", r.get(), dialogue.lastRefusal())
          .isEqualTo(Dialogue.Progress.ANSWERED);
    }
    return dialogue.reading(truth.timeMs()).orElseThrow();
  }
}
