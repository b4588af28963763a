package org.cellherd.alert.setting;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.OptionalInt;
import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.PackPlan.BoardRating;
import org.cellherd.pack.PackPlan.CellRating;
import org.cellherd.pack.PackPlan.FuseRating;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

class AlertSettingsTest {
  private static PackPlan lfp(int chargeMvPerCell) {
    return PackPlan.builder("p", Chemistry.LFP, 16, 1, 280_000)
        .chargeMv(16 * chargeMvPerCell)
        .build();
  }

  private static double number(PackPlan plan, RuleId rule, String key) {
    return AlertSettings.defaults(plan).rule(rule).number(key);
  }

  @ParameterizedTest
  @EnumSource(RuleId.class)
  void everyRuleHasDelaysAndARepeat(RuleId rule) {
    RuleSettings set = AlertSettings.defaults(lfp(3500)).rule(rule);

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

    assertThat(AlertSettings.defaults(plan).all()).hasSize(RuleId.values().length);
    assertThat(number(plan, RuleId.CELL_LOW, "limit_mv"))
        .isEqualTo(chemistry.limits().cutOffLowMv());
  }

  /** Chargers sit at 3.60 to 3.65 V a cell daily: that is no alarm. */
  @Test
  void theWarningFollowsTheChargeVoltage() {
    assertThat(number(lfp(3500), RuleId.CELL_HIGH, "warn_mv")).isEqualTo(3600);
    assertThat(number(lfp(3600), RuleId.CELL_HIGH, "warn_mv")).isEqualTo(3620);
    assertThat(number(lfp(3600), RuleId.CELL_HIGH, "limit_mv")).isEqualTo(3650);
    assertThat(number(lfp(3650), RuleId.CELL_HIGH, "limit_mv")).isEqualTo(3670);
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

    assertThat(number(plan, RuleId.OVER_CURRENT, "warn_a")).isEqualTo(60);
    assertThat(number(plan, RuleId.OVER_CURRENT, "limit_a")).isEqualTo(120);
  }

  @Test
  void aPackThatIsNeverChargedFullIsNotReminded() {
    PackPlan plan = PackPlan.builder("p", Chemistry.LFP, 4, 1, 100_000).partialCharge(true).build();

    assertThat(AlertSettings.defaults(plan).rule(RuleId.NEVER_FULL).enabled()).isFalse();
  }

  @Test
  void timesComeInMilliseconds() {
    RuleSettings set = AlertSettings.defaults(lfp(3500)).rule(RuleId.CELL_HIGH);

    assertThat(set.ms("on_delay_s")).isEqualTo(5000);
    assertThat(set.with("repeat_h", 0.5).ms("repeat_h")).isEqualTo(1_800_000);
    assertThatThrownBy(() -> set.ms("limit_mv")).hasMessage("limit_mv is no time");
  }

  @Test
  void aValueOutOfRangeSaysTheRange() {
    RuleSettings set = AlertSettings.defaults(lfp(3500)).rule(RuleId.CELL_HIGH);

    assertThatThrownBy(() -> set.with("deadband_mv", 501))
        .hasMessage("deadband_mv = 501, allowed 0 to 500");
    assertThatThrownBy(() -> set.with("deadband_mv", Double.NaN)).hasMessageContaining("allowed");
  }

  @Test
  void anUnknownKeySaysWhichThereAre() {
    RuleSettings set = AlertSettings.defaults(lfp(3500)).rule(RuleId.STORE);

    assertThatThrownBy(() -> set.with("limit_mv", 1))
        .hasMessage("rule store has no key limit_mv, it has [on_delay_s, off_delay_s, repeat_h]");
  }

  @Test
  void changesLeaveTheRestAlone() {
    AlertSettings all = AlertSettings.defaults(lfp(3500));
    RuleSettings high = all.rule(RuleId.CELL_HIGH).withPriority(Priority.NOTE).withEnabled(false);

    AlertSettings changed = all.with(high);

    assertThat(changed.rule(RuleId.CELL_HIGH).priority()).isEqualTo(Priority.NOTE);
    assertThat(changed.rule(RuleId.CELL_HIGH).number("deadband_mv")).isEqualTo(10);
    assertThat(changed.rule(RuleId.CELL_LOW)).isSameAs(all.rule(RuleId.CELL_LOW));
    assertThat(all.rule(RuleId.CELL_HIGH).enabled()).isTrue();
    assertThat(high.table()).isEqualTo("cell_high");
  }

  @Test
  void pollAndQuotaMustBeAboveZero() {
    AlertSettings all = AlertSettings.defaults(lfp(3500));

    assertThatThrownBy(() -> all.withPollMs(0)).hasMessageContaining("allowed 1");
    assertThatThrownBy(() -> all.withDailyQuota(0)).hasMessageContaining("allowed 1 to 1000");
  }
}
