package org.cellherd.protocol.spec;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import org.cellherd.pack.Reading;
import org.cellherd.protocol.frame.Bytes;
import org.cellherd.toml.Problems;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * The vectors beside the shipped descriptions, whose bytes were put together by another program:
 * what their readings tell is written again byte for byte.
 */
class ShippedBytesTest {

  /** Vectors with what no reading holds, or as no board of one's own would put it. */
  private static final Set<String> DIFFERENT =
      Set.of(
          "own request echoed, then the answer",
          "6 sentences make a reading",
          "a direction that is not described",
          "charging, cell 8 and sensor 2 without a reading",
          "other frames of the bus between them",
          "sixteen cells, discharging, the fourth sensor open",
          "state with two alarms",
          "two frames make a reading",
          "soc that is no BCD costs only itself",
          "without a charger");

  static List<String> names() {
    return Specs.shippedNames();
  }

  @ParameterizedTest
  @MethodSource("names")
  void everyGoodVectorIsWrittenAsItStands(String name) {
    SpecDecoder decoder = (SpecDecoder) Specs.find(name).orElseThrow();
    String file = name + ".vectors.toml";
    Problems problems = new Problems();
    for (Vector vector : VectorReader.read(file, Specs.shippedText(file).orElseThrow(), problems)) {
      if (vector.refused().isEmpty() && !DIFFERENT.contains(vector.name())) {
        List<Bytes> expected = vector.exchange().stream().map(Vector.Exchange::answer).toList();
        assertThat(written(decoder, vector)).as(vector.name()).isEqualTo(expected);
      }
    }
    assertThat(problems.toString()).isEmpty();
  }

  private static List<Bytes> written(SpecDecoder decoder, Vector vector) {
    Reading reading = vector.reading().orElseThrow();
    if (vector.message().isEmpty()) {
      byte[] all = decoder.responder(vector.address()).orElseThrow().announce(reading);
      return List.of(Bytes.of(all));
    }
    Message message =
        decoder.spec().messages().stream()
            .filter(m -> m.name().equals(vector.message()))
            .findFirst()
            .orElseThrow();
    List<Bytes> frames = new ArrayList<>();
    for (byte[] data : message.body().encode(reading)) {
      byte[] frame = decoder.spec().replies().build(vector.address(), message.code(), data);
      frames.add(Bytes.of(frame));
    }
    return frames;
  }
}
