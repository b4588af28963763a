package org.cellherd.pack;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.ValueSource;

class PackPlanTest {

  @ParameterizedTest
  @CsvSource({
    "lfp, LFP",
    "LiFePO4, LFP",
    "LIFEPO4, LFP",
    "NMC, NMC",
    "ncm, NMC",
    "Na-ion, SODIUM_ION"
  })
  void aChemistryIsKnownByWhatTheTradeWrites(String word, Chemistry chemistry) {
    assertThat(Chemistry.ofWord(word)).contains(chemistry);
  }

  /** Common practice, no source: 24 cells of 3.2 V and 4.5 Ah, 4S6P, are 12.8 V and 27 Ah. */
  @Test
  void regroupedPackHasTheNominalVoltageOfItsSeries() {
    PackPlan plan = PackPlan.of("crate", Chemistry.LFP, 4, 6, 27_000);

    assertThat(plan.nominalMv()).isEqualTo(12_800);
    assertThat(plan.ratedAh()).isEqualTo(27.0);
    assertThat(plan.chargeMv()).isEqualTo(14_600);
    assertThat(plan.chargeMvPerCell()).isEqualTo(3650);
    assertThat(plan.tailMa()).isEqualTo(1350);
  }

  @ParameterizedTest
  @EnumSource(Chemistry.class)
  void chemistryIsFoundByItsWordAndChargesBelowItsCutOff(Chemistry chemistry) {
    assertThat(Chemistry.ofWord(chemistry.word())).hasValue(chemistry);
    assertThat(chemistry.chargeMv()).isLessThanOrEqualTo(chemistry.limits().cutOffHighMv());
  }

  @ParameterizedTest
  @ValueSource(strings = {"", "-a", "a-", "Crate", "a b", "a/b", "a+", "ä"})
  void idThatWouldBreakATopicIsRefused(String id) {
    assertThatThrownBy(() -> PackPlan.of(id, Chemistry.LFP, 4, 1, 1000))
        .hasMessageContaining("a-z");
  }

  @Test
  void impossibleArrangementIsRefusedWithItsValue() {
    assertThatThrownBy(() -> PackPlan.of("a", Chemistry.LFP, 0, 1, 1)).hasMessageContaining("0");
    assertThatThrownBy(() -> PackPlan.of("a", Chemistry.LFP, 65, 1, 1)).hasMessageContaining("65");
    assertThatThrownBy(() -> PackPlan.of("a", Chemistry.LFP, 1, 0, 1)).hasMessageContaining("0");
    assertThatThrownBy(() -> PackPlan.of("a", Chemistry.LFP, 1, 1, 0)).hasMessageContaining("0");
    assertThatThrownBy(() -> new CellLimits(3650, 3700, 3450, 3400, 3200, 2800, 2500))
        .hasMessageContaining("3700");
  }

  @Test
  void builderKeepsAllThatItWasTold() {
    PackPlan plan =
        PackPlan.builder("crate", Chemistry.LFP, 4, 6, 27_000)
            .name("Field crate")
            .limits(Chemistry.LFP.limits())
            .chargeMv(13_800)
            .tailMa(1000)
            .cell(
                new PackPlan.CellRating(
                    OptionalInt.of(10_000), OptionalInt.of(20_000), OptionalInt.empty()))
            .board(
                new PackPlan.BoardRating(
                    "alder",
                    OptionalInt.of(40_000),
                    OptionalInt.of(80_000),
                    OptionalInt.of(3650),
                    OptionalInt.of(2500),
                    OptionalInt.of(100),
                    OptionalInt.of(3400)))
            .fuse(new PackPlan.FuseRating(40_000, OptionalInt.empty(), OptionalInt.of(32_000)))
            .wire(
                new PackPlan.Wire(OptionalInt.of(60_000), OptionalInt.empty(), OptionalInt.empty()))
            .loadMa(20_000)
            .chargerMa(5_000)
            .sensors(List.of(PackPlan.SensorRole.CELL, PackPlan.SensorRole.SWITCH))
            .hiddenLoadMa(30)
            .priorCycles(2000)
            .partialCharge(true)
            .history(List.of(new PackPlan.Change(5, "cell 2 replaced")))
            .note("from a workshop")
            .build();

    assertThat(plan.toBuilder().build()).isEqualTo(plan);
    assertThat(plan.board().map(PackPlan.BoardRating::name)).isEqualTo(Optional.of("alder"));
    assertThat(plan.role(2)).isEqualTo(PackPlan.SensorRole.SWITCH);
    assertThat(plan.role(3)).isEqualTo(PackPlan.SensorRole.CELL);
  }

  @ParameterizedTest
  @CsvSource({
    "a, true",
    "shed-2, true",
    "a-b-c, true",
    "2, true",
    "a--b, false",
    "-a, false",
    "a-, false",
    "A, false",
    "a_b, false",
  })
  void anIdHasSingleHyphensBetweenLettersAndDigits(String text, boolean isId) {
    assertThat(PackPlan.isId(text)).isEqualTo(isId);
  }

  @Test
  void anIdHasAtMostFortyCharacters() {
    assertThat(PackPlan.isId("a".repeat(40))).isTrue();
    assertThat(PackPlan.isId("a".repeat(41))).isFalse();
  }
}
