package org.cellherd.alert.rule;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** The truth table of GB 38031-2025, C.5.3.7: (a and c) or (b and c). */
class RunawayTest {

  @ParameterizedTest
  @CsvSource({
    "false,false,false,false",
    "true,false,false,false",
    "false,true,false,false",
    "false,false,true,false",
    "true,true,false,false",
    "true,false,true,true",
    "false,true,true,true",
    "true,true,true,true"
  })
  void followsThePublishedTable(boolean a, boolean b, boolean c, boolean runaway) {
    assertThat(new Runaway(a, b, c).isRunaway()).isEqualTo(runaway);
  }
}
