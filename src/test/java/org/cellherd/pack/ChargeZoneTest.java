package org.cellherd.pack;

import static org.assertj.core.api.Assertions.assertThat;

import org.cellherd.pack.CellSheet.ChargeZone;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class ChargeZoneTest {

  /** Zones of JEITA for the 4.2 V class, from a semiconductor maker's note. */
  @ParameterizedTest
  @CsvSource({
    "-10,none",
    "0,reduced",
    "99,reduced",
    "100,normal",
    "450,normal",
    "451,reduced_voltage",
    "600,reduced_voltage",
    "601,none"
  })
  void jeitaZonesOfThe42VoltClass(int tenthC, String word) {
    assertThat(Chemistry.NMC.sheet().chargeZone(tenthC).word()).isEqualTo(word);
  }

  @Test
  void inTheColdHalfTheCurrentOrTheLowerVoltageIsEnough() {
    ChargeZone cold = Chemistry.NMC.sheet().chargeZone(50);

    assertThat(cold.isExceeded(0.8, 4_050)).isFalse();
    assertThat(cold.isExceeded(0.3, 4_180)).isFalse();
    assertThat(cold.isExceeded(0.8, 4_180)).isTrue();
  }

  @ParameterizedTest
  @CsvSource({"460,4150,false", "460,4160,true", "550,4110,true", "550,4100,false"})
  void inTheHeatTheVoltageCounts(int tenthC, double mv, boolean isExceeded) {
    assertThat(Chemistry.NCA.sheet().chargeZone(tenthC).isExceeded(1, mv)).isEqualTo(isExceeded);
  }

  /** The faster rates of a published 48 V 50 Ah module manual. */
  @ParameterizedTest
  @CsvSource({
    "-1,0.01,true",
    "0,0.1,false",
    "49,0.11,true",
    "50,0.2,false",
    "99,0.21,true",
    "100,1,false",
    "250,0.76,true",
    "500,0.75,false",
    "501,0.11,true",
    "600,0.1,false",
    "601,0.01,true"
  })
  void ratesOfIronPhosphate(int tenthC, double rate, boolean isExceeded) {
    assertThat(Chemistry.LFP.sheet().chargeZone(tenthC).isExceeded(rate, 3_400))
        .isEqualTo(isExceeded);
  }

  @Test
  void whereNoTableIsKnownNothingIsExceeded() {
    assertThat(Chemistry.LTO.sheet().chargeZone(-100).isExceeded(5, 2_700)).isFalse();
  }
}
