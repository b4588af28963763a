package org.cellherd.alert.setting;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.OptionalInt;
import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.rule.CellHigh;
import org.cellherd.alert.rule.CellLow;
import org.cellherd.alert.rule.Rules;
import org.cellherd.alert.rule.StoreFault;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.PackPlan.BoardRating;
import org.cellherd.pack.PackPlan.CellRating;
import org.cellherd.pack.PackPlan.FuseRating;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.MethodSource;

class AlertSettingsTest {
  private static PackPlan lfp(int chargeMvPerCell) {
    return PackPlan.builder("p", Chemistry.LFP, 16, 1, 280_000)
        .chargeMv(16 * chargeMvPerCell)
        .build();
  }

  private static double number(PackPlan plan, RuleId rule, String key) {
    return Rules.defaults(plan).rule(rule).number(key);
  }

  @ParameterizedTest
  @MethodSource("org.cellherd.alert.rule.Rules#words")
  void everyRuleHasDelaysAndARepeat(String word) {
    RuleId rule = Rules.id(word);
    RuleSettings set = Rules.defaults(lfp(3500)).rule(rule);

    assertThat(set.rule()).isEqualTo(rule);
    assertThat(set.has("on_delay_s")).isTrue();
    assertThat(set.has("off_delay_s")).isTrue();
    assertThat(set.has("repeat_h")).isTrue();
    assertThat(set.parameters()).allMatch(p -> !p.meaning().isBlank());
  }

  @ParameterizedTest
  @EnumSource(Chemistry.class)
  void everyChemistryHasDefaults(Chemistry chemistry) {
    PackPlan plan = PackPlan.of("p", chemistry, 8, 2, 50_000);

    assertThat(Rules.defaults(plan).all()).hasSize(Rules.all().size());
    assertThat(number(plan, CellLow.ID, "limit_mv")).isEqualTo(chemistry.limits().cutOffLowMv());
  }

  /** Chargers sit at 3.60 to 3.65 V a cell daily: that is no alarm. */
  @Test
  void theWarningFollowsTheChargeVoltage() {
    assertThat(number(lfp(3500), CellHigh.ID, "warn_mv")).isEqualTo(3600);
    assertThat(number(lfp(3600), CellHigh.ID, "warn_mv")).isEqualTo(3620);
    assertThat(number(lfp(3600), CellHigh.ID, "limit_mv")).isEqualTo(3650);
    assertThat(number(lfp(3650), CellHigh.ID, "limit_mv")).isEqualTo(3670);
  }

  @Test
  void currentLimitsAreTheWeakestRating() {
    PackPlan plan =
        PackPlan.builder("p", Chemistry.LFP, 4, 6, 27_000)
            .cell(
                new CellRating(OptionalInt.of(10_000), OptionalInt.of(20_000), OptionalInt.empty()))
            .board(
                new BoardRating(
                    "b",
                    OptionalInt.of(100_000),
                    OptionalInt.of(200_000),
                    OptionalInt.empty(),
                    OptionalInt.empty(),
                    OptionalInt.empty(),
                    OptionalInt.empty()))
            .fuse(new FuseRating(80_000, OptionalInt.empty(), OptionalInt.empty()))
            .build();

    assertThat(number(plan, Rules.id("over-current"), "warn_a")).isEqualTo(60);
    assertThat(number(plan, Rules.id("over-current"), "limit_a")).isEqualTo(120);
  }

  @Test
  void aPackThatIsNeverChargedFullIsNotReminded() {
    PackPlan plan = PackPlan.builder("p", Chemistry.LFP, 4, 1, 100_000).partialCharge(true).build();

    assertThat(Rules.defaults(plan).rule(Rules.id("never-full")).enabled()).isFalse();
  }

  @Test
  void timesComeInMilliseconds() {
    RuleSettings set = Rules.defaults(lfp(3500)).rule(CellHigh.ID);

    assertThat(set.ms("on_delay_s")).isEqualTo(5000);
    assertThat(set.with("repeat_h", 0.5).ms("repeat_h")).isEqualTo(1_800_000);
    assertThatThrownBy(() -> set.ms("limit_mv")).hasMessage("limit_mv is no time");
  }

  @Test
  void aValueOutOfRangeSaysTheRange() {
    RuleSettings set = Rules.defaults(lfp(3500)).rule(CellHigh.ID);

    assertThatThrownBy(() -> set.with("deadband_mv", 501))
        .hasMessage("deadband_mv = 501, allowed 0 to 500");
    assertThatThrownBy(() -> set.with("deadband_mv", Double.NaN)).hasMessageContaining("allowed");
  }

  @Test
  void anUnknownKeySaysWhichThereAre() {
    RuleSettings set = Rules.defaults(lfp(3500)).rule(StoreFault.ID);

    assertThatThrownBy(() -> set.with("limit_mv", 1))
        .hasMessage("rule store has no key limit_mv, it has [on_delay_s, off_delay_s, repeat_h]");
  }

  @Test
  void changesLeaveTheRestAlone() {
    AlertSettings all = Rules.defaults(lfp(3500));
    RuleSettings high = all.rule(CellHigh.ID).withPriority(Priority.NOTE).withEnabled(false);

    AlertSettings changed = all.with(high);

    assertThat(changed.rule(CellHigh.ID).priority()).isEqualTo(Priority.NOTE);
    assertThat(changed.rule(CellHigh.ID).number("deadband_mv")).isEqualTo(10);
    assertThat(changed.rule(CellLow.ID)).isSameAs(all.rule(CellLow.ID));
    assertThat(all.rule(CellHigh.ID).enabled()).isTrue();
    assertThat(high.table()).isEqualTo("cell_high");
  }

  @Test
  void pollAndQuotaMustBeAboveZero() {
    AlertSettings all = Rules.defaults(lfp(3500));

    assertThatThrownBy(() -> all.withPollMs(0)).hasMessageContaining("allowed 1");
    assertThatThrownBy(() -> all.withDailyQuota(0)).hasMessageContaining("allowed 1 to 1000");
  }
}
