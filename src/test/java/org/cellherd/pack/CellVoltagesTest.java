package org.cellherd.pack;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.OptionalInt;
import org.junit.jupiter.api.Test;

class CellVoltagesTest {

  private static final CellVoltages FOUR = CellVoltages.ofTenthMv(33_000, 33_401, 32_950, 33_100);

  @Test
  void cellsAreNumberedFromOne() {
    assertThat(FOUR.tenthMv(1)).isEqualTo(33_000);
    assertThat(FOUR.mv(2)).isEqualTo(3340.1);
    assertThat(FOUR.has(0)).isFalse();
    assertThat(FOUR.has(5)).isFalse();
  }

  @Test
  void extremesSpreadMedianAndSumAgreeWithTheCells() {
    assertThat(FOUR.highestCell()).isEqualTo(2);
    assertThat(FOUR.lowestCell()).isEqualTo(3);
    assertThat(FOUR.spreadTenthMv()).hasValue(451);
    assertThat(FOUR.medianTenthMv()).hasValue(33_050);
    assertThat(FOUR.sumTenthMv()).hasValue(132_451);
  }

  @Test
  void inputsBeyondThePlanThatReadNextToNothingArePadding() {
    CellVoltages padded = CellVoltages.ofTenthMv(33_000, 0, 33_100, 499, -499, 0);

    assertThat(padded.countWithoutPadding(3)).isEqualTo(3);
    assertThat(padded.countWithoutPadding(2)).isEqualTo(3);
    assertThat(CellVoltages.ofTenthMv(33_000, 33_000, 500).countWithoutPadding(2)).isEqualTo(3);
    assertThat(padded.countWithoutPadding(8)).isEqualTo(6);
  }

  @Test
  void firstCellsAreKeptAndTheOthersMissing() {
    assertThat(FOUR.first(2)).isEqualTo(CellVoltages.ofTenthMv(33_000, 33_401));
    assertThat(FOUR.first(5).has(5)).isFalse();
  }

  @Test
  void missingCellIsSkippedAndNeverZero() {
    CellVoltages cells =
        CellVoltages.ofOptional(
            OptionalInt.of(33_000), OptionalInt.empty(), OptionalInt.of(34_000));

    assertThat(cells.count()).isEqualTo(3);
    assertThat(cells.presentCount()).isEqualTo(2);
    assertThat(cells.isComplete()).isFalse();
    assertThat(cells.sumTenthMv()).isEmpty();
    assertThat(cells.medianTenthMv()).hasValue(33_500);
    assertThatThrownBy(() -> cells.tenthMv(2)).hasMessageContaining("cell 2");
  }

  @Test
  void noCellsHaveNoExtremes() {
    assertThat(CellVoltages.NONE.highestCell()).isZero();
    assertThat(CellVoltages.NONE.lowestCell()).isZero();
    assertThat(CellVoltages.NONE.spreadTenthMv()).isEmpty();
    assertThat(CellVoltages.NONE.medianTenthMv()).isEmpty();
    assertThat(CellVoltages.ofMv(3300).spreadTenthMv()).isEmpty();
  }

  @Test
  void callersArrayMayChangeAfterwards() {
    int[] values = {33_000, 33_100};
    CellVoltages cells = CellVoltages.ofTenthMv(values);
    values[0] = 0;

    assertThat(cells)
        .isEqualTo(CellVoltages.ofMv(3300, 3310))
        .hasSameHashCodeAs(CellVoltages.ofMv(3300, 3310));
  }

  @Test
  void moreCellsThanAnyPackAreRefused() {
    assertThatThrownBy(() -> CellVoltages.ofTenthMv(new int[65])).hasMessageContaining("65");
  }
}
