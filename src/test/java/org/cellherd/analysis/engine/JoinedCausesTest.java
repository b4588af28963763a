package org.cellherd.analysis.engine;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Set;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.ModelPack;
import org.cellherd.analysis.result.ApartCause;
import org.cellherd.analysis.result.BalanceResult;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.junit.jupiter.api.Test;

/** The balance says why the cells are apart, in its sentence, too, whichever analysis found it. */
class JoinedCausesTest {
  private static final PackPlan PLAN = PackPlan.of("p", Chemistry.LFP, 4, 1, 100_000);
  private static final long MINUTE = 60_000;

  private final PackAnalysis whole = new PackAnalysis(PLAN, AnalysisSettings.of(PLAN));
  private final PackAnalysis balanceAlone = whole.only(Set.of(FindingName.BALANCE));

  @Test
  void aJointThatStepsOfTheLoadShowIsTheCause() {
    loads(pack(0.6).ohms(2, 0.002));

    for (PackAnalysis analysis : List.of(whole, balanceAlone)) {
      assertThat(balance(analysis).cause()).isEqualTo(ApartCause.RESISTANCE);
      assertThat(balance(analysis).causeText()).startsWith("Cell 2 has about 1.5 mΩ more");
      assertThat(sentence(analysis)).endsWith(" " + balance(analysis).causeText());
    }
  }

  @Test
  void aCellThatFallsBehindAtRestIsTheCause() {
    rest(pack(0.12).leak(3, 60), 120);

    for (PackAnalysis analysis : List.of(whole, balanceAlone)) {
      assertThat(balance(analysis).cause()).isEqualTo(ApartCause.LEAKING);
      assertThat(balance(analysis).causeText()).startsWith("Cell 3 fell behind the others");
      assertThat(sentence(analysis)).endsWith(" " + balance(analysis).causeText());
    }
  }

  /** Cells apart in charge that relax behind their loads have neither. */
  @Test
  void cellsApartByChargeAloneAreNoReasonToLookForEither() {
    ModelPack pack = pack(0.12).cell(1, 100, 0.16).pair(1, 1800);
    loads(pack);
    rest(pack, 120);

    for (PackAnalysis analysis : List.of(whole, balanceAlone)) {
      assertThat(balance(analysis).cause()).isEqualTo(ApartCause.UNKNOWN);
      assertThat(sentence(analysis)).doesNotContain(balance(analysis).causeText());
    }
  }

  private static ModelPack pack(double soc) {
    return new ModelPack(PLAN, 1_800_000_000_000L, soc);
  }

  private static BalanceResult balance(PackAnalysis analysis) {
    return (BalanceResult) analysis.standing(FindingName.BALANCE).orElseThrow().result();
  }

  private static String sentence(PackAnalysis analysis) {
    return analysis.standing(FindingName.BALANCE).orElseThrow().sentence();
  }

  private void loads(ModelPack pack) {
    for (int i = 0; i < 3; i++) {
      flow(pack, 10 * MINUTE, 0);
      flow(pack, 3 * MINUTE, -30);
    }
    flow(pack, 10 * MINUTE, 0);
  }

  private void flow(ModelPack pack, long ms, double amps) {
    for (long at = 0; at < ms; at += 5_000) {
      feed(pack.step(5_000, amps));
    }
  }

  private void rest(ModelPack pack, int hours) {
    for (int i = 0; i < hours * 60; i++) {
      feed(pack.step(MINUTE, 0));
    }
  }

  private void feed(Reading reading) {
    whole.accept(reading);
    balanceAlone.accept(reading);
  }
}
