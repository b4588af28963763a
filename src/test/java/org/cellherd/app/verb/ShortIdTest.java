package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Random;
import java.util.stream.LongStream;
import org.cellherd.pack.PackPlan;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.MethodSource;

class ShortIdTest {

  static LongStream seeds() {
    return LongStream.range(0, 200);
  }

  @ParameterizedTest
  @CsvSource({
    "shed-pi,shed-pi",
    "Shed_Pi.fritz.lan,shed-pi",
    "H\u00fctte,hutte",
    "localhost,home",
    "localhost.localdomain,home",
    "---,home",
    "'',home"
  })
  void siteIsTheComputersOwnNameWithoutItsDomain(String host, String site) {
    assertThat(ShortId.ofHost(host + "\n")).isEqualTo(site);
  }

  /** Judged by the rule that the config is read by. */
  @ParameterizedTest
  @MethodSource("seeds")
  void whateverAComputerIsCalledTheProposalIsAnId(long seed) {
    Random random = new Random(seed);
    StringBuilder name = new StringBuilder();
    String letters = "abcXYZ019-_. \u00e4\u00df\u0130\u4e2d\ufb01";
    for (int n = random.nextInt(90); n > 0; n--) {
      name.append(letters.charAt(random.nextInt(letters.length())));
    }

    assertThat(PackPlan.isId(ShortId.ofHost(name.toString())))
        .as("seed %d, %s", seed, name)
        .isTrue();
    assertThat(PackPlan.isId(ShortId.of(name.toString(), "pack"))).as("seed %d", seed).isTrue();
  }

  @Test
  void aLongNameIsCutWhereNoHyphenIsLeftAtItsEnd() {
    assertThat(ShortId.of("a".repeat(39) + "-" + "b".repeat(30), "pack")).isEqualTo("a".repeat(39));
  }
}
