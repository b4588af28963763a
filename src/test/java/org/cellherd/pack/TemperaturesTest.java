package org.cellherd.pack;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.OptionalInt;
import org.junit.jupiter.api.Test;

class TemperaturesTest {

  @Test
  void missingSensorIsSkippedAndNeverZero() {
    Temperatures sensors =
        Temperatures.ofOptional(OptionalInt.empty(), OptionalInt.of(-55), OptionalInt.of(0));

    assertThat(sensors.count()).isEqualTo(3);
    assertThat(sensors.has(1)).isFalse();
    assertThat(sensors.tenthC(2)).isEqualTo(-55);
    assertThat(sensors.tenthC(3)).isZero();
    assertThatThrownBy(() -> sensors.tenthC(1)).hasMessageContaining("sensor 1");
    assertThat(sensors).hasToString("Temperatures[- -55 0] 0.1 degC");
    assertThat(sensors).isNotEqualTo(Temperatures.NONE);
    assertThatThrownBy(() -> Temperatures.ofTenthC(new int[65])).hasMessageContaining("65");
  }
}
