package org.cellherd.protocol;

import static org.assertj.core.api.Assertions.assertThat;

import com.code_intelligence.jazzer.junit.FuzzTest;
import java.nio.charset.StandardCharsets;
import java.util.Optional;
import java.util.Random;
import org.cellherd.pack.Reading;
import org.cellherd.protocol.spec.SpecDecoder;
import org.cellherd.protocol.spec.SpecDrawing;
import org.cellherd.protocol.spec.Specs;
import org.cellherd.protocol.spec.VectorRun;
import org.cellherd.toml.Problems;

/**
 * Contract: any text gives a description or problems, never an exception; a description that was
 * read talks, answers and is drawn without an exception.
 */
class SpecFuzzTest {

  private static final Reading READING = PlausibleReadings.any(new Random(1));

  @FuzzTest(maxDuration = "60s")
  void anyTextGivesADescriptionOrProblems(byte[] data) {
    String text = new String(data, StandardCharsets.UTF_8);
    Problems problems = new Problems();

    Optional<Decoder> decoder = Specs.read("fuzz.toml", text, problems);

    assertThat(decoder.isPresent()).isEqualTo(problems.isEmpty());
    decoder.ifPresent(d -> use((SpecDecoder) d, data));
    VectorRun.gaps((SpecDecoder) Specs.find("sorrel-16").orElseThrow(), "fuzz.toml", text);
  }

  static void use(SpecDecoder decoder, byte[] data) {
    SpecDrawing.of(decoder.spec());
    Dialogue dialogue = decoder.dialogue(1);
    Responder responder = decoder.responder(1).orElseThrow();
    dialogue.begin();
    byte[] said =
        dialogue
            .nextRequest()
            .map(r -> responder.feed(r.bytes(), () -> READING))
            .orElseGet(() -> responder.announce(READING));
    dialogue.feed(said, 0, said.length);
    dialogue.feed(data, 0, Math.min(data.length, 2000));
    dialogue.silence();
    dialogue.reading(0);
  }

  /** Shipped descriptions with a few bytes changed get past the first checks. */
  @FuzzTest(maxDuration = "60s")
  void aShippedDescriptionWithChangesGivesADescriptionOrProblems(byte[] data) {
    if (data.length < 4) {
      return;
    }
    int which = (data[0] & 0xFF) % Specs.shippedNames().size();
    String name = Specs.shippedNames().get(which) + ".toml";
    byte[] text = Specs.shippedText(name).orElseThrow().getBytes(StandardCharsets.UTF_8);
    for (int i = 1; i + 2 < data.length; i += 3) {
      int at = (((data[i] & 0xFF) << 8) | (data[i + 1] & 0xFF)) % text.length;
      text[at] = data[i + 2];
    }
    anyTextGivesADescriptionOrProblems(text);
  }
}
