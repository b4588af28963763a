package org.cellherd.alert;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Optional;
import java.util.Random;
import org.cellherd.pack.Facts;
import org.junit.jupiter.api.Test;

/** How bad an alert was that is over, among its evidence. */
class PeakTest {

  private static final Facts EVIDENCE =
      Facts.of().put("highest_mv", 3_662.5, 1).put("cell", 3).build();

  private static Alert alert(Facts evidence) {
    return new Alert(
        "shed.cell-high.1-1",
        new AlertKey("shed", new RuleId("cell-high"), 3),
        AlertState.RETURNED,
        Priority.WARNING,
        1_000,
        9_000,
        3_662.5,
        3_650,
        "mV",
        "It was.",
        "",
        evidence,
        Optional.empty(),
        true);
  }

  @Test
  void whatWasNotedComesBackAndTheOtherEvidenceIsLeft() {
    Random random = new Random(7);
    for (int i = 0; i < 100; i++) {
      long at = 1_700_000_000_000L + random.nextInt(1_000_000_000);
      long lasted = 1000L * random.nextInt(1_000_000);
      Alert.Peak peak = new Alert.Peak("cell 3 was at 3.66 V", at, lasted, at + lasted);

      Facts noted = peak.in(EVIDENCE);

      assertThat(Alert.Peak.of(alert(noted))).contains(peak);
      assertThat(Alert.Peak.without(noted)).isEqualTo(EVIDENCE);
    }
  }

  @Test
  void anActiveAlertHasNone() {
    assertThat(Alert.Peak.of(alert(EVIDENCE))).isEmpty();
  }
}
