package org.cellherd.protocol;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import org.cellherd.protocol.spec.SpecDecoder;
import org.cellherd.protocol.spec.Specs;
import org.cellherd.protocol.spec.VectorRun;
import org.cellherd.toml.Problems;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * The vectors beside the shipped descriptions; their bytes were put together by another program.
 */
class SpecVectorsTest {

  static List<String> names() {
    return Specs.shippedNames();
  }

  @ParameterizedTest
  @MethodSource("names")
  void everyVectorIsDecodedEncodedOrRefusedAsItSays(String name) {
    Problems problems = new Problems();
    SpecDecoder decoder = (SpecDecoder) Specs.find(name).orElseThrow();
    String file = name + ".vectors.toml";

    List<VectorRun.Outcome> outcomes =
        VectorRun.run(decoder, file, Specs.shippedText(file).orElseThrow(), problems);

    assertThat(problems.toString()).isEmpty();
    assertThat(outcomes).isNotEmpty().allMatch(VectorRun.Outcome::passed);
  }

  @ParameterizedTest
  @MethodSource("names")
  void everyMessageHasAVectorAndOneIsRefused(String name) {
    SpecDecoder decoder = (SpecDecoder) Specs.find(name).orElseThrow();
    String file = name + ".vectors.toml";

    assertThat(VectorRun.gaps(decoder, file, Specs.shippedText(file).orElseThrow())).isEmpty();
  }
}
