package org.cellherd.analysis.balance;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import org.cellherd.analysis.BalanceView.Apart;
import org.cellherd.analysis.BalanceView.Lead;
import org.cellherd.analysis.Interval;
import org.junit.jupiter.api.Test;

/** Which cell is named when cells are apart. */
class OutlierCellTest {

  private static List<Lead> leads(double... ah) {
    List<Lead> leads = new ArrayList<>();
    for (int i = 0; i < ah.length; i++) {
      leads.add(new Lead(i + 1, new Interval(Math.max(0, ah[i] - 0.1), ah[i], ah[i] + 0.1)));
    }
    return leads;
  }

  private static String words(double... ah) {
    return OutlierCell.of(leads(ah)).orElseThrow().words("is");
  }

  @Test
  void oneCellAheadOfTheHerdIsNamed() {
    assertThat(words(0.1, 0, 0.7, 0.05)).isEqualTo("3 is 0.7 Ah ahead");
  }

  @Test
  void oneCellBehindAllOthersIsNamedAndNotTheFirstOfThem() {
    assertThat(words(3.9, 3.4, 5.4, 0)).isEqualTo("4 is 3.4 Ah behind all others");
  }

  @Test
  void twoHalvesOfAHerdHaveAFirstAndNoLast() {
    assertThat(words(3.9, 0.1, 4.0, 0)).isEqualTo("3 is 4.0 Ah ahead");
  }

  @Test
  void ofTwoCellsTheOneAheadIsNamed() {
    assertThat(words(0, 0.6)).isEqualTo("2 is 0.6 Ah ahead");
  }

  @Test
  void howFarBehindIsNoMoreThanIsKnown() {
    List<Lead> leads = new ArrayList<>();
    for (int cell = 1; cell <= 3; cell++) {
      leads.add(new Lead(cell, new Interval(2.2, 3.1, 78)));
    }
    leads.add(new Lead(4, Interval.exactly(0)));

    assertThat(OutlierCell.of(leads).orElseThrow().words("was"))
        .isEqualTo("4 was at least 2.2 Ah behind all others");
  }

  /** One number is said where the truth is within twice and half of it, else what is known. */
  @Test
  void noNumberIsSaidThatMayBeFarFromTheTruth() {
    long seed = Long.getLong("cellherd.seed", System.nanoTime());
    Random random = new Random(seed);
    for (int run = 0; run < 20_000; run++) {
      double mid = 0.05 * Math.pow(400, random.nextDouble());
      double low = mid * Math.max(0, 1.2 * random.nextDouble() - 0.2);
      double high = mid * (1 + 4 * Math.pow(random.nextDouble(), 2));
      String said = BalanceWords.lead(new Interval(low, mid, high));
      String about = String.format(Locale.ROOT, "%s of %.3f (%.3f to %.3f)", said, mid, low, high);
      String[] numbers = said.replaceAll("[^0-9. ]", "").trim().split(" +");
      double first = numbers[0].isEmpty() ? Double.NaN : Double.parseDouble(numbers[0]);
      if (said.startsWith("up to")) {
        assertThat(first).as(about).isGreaterThanOrEqualTo(high);
      } else if (said.startsWith("at least")) {
        assertThat(first).as(about).isLessThanOrEqualTo(low);
      } else if (said.contains(" to ")) {
        assertThat(first).as(about).isLessThanOrEqualTo(low).isPositive();
        assertThat(Double.parseDouble(numbers[1])).as(about).isGreaterThanOrEqualTo(high);
      } else if (!said.startsWith("an unknown")) {
        assertThat(low).as(about).isGreaterThanOrEqualTo(first * 0.95 / 2 - 0.05);
        assertThat(high).as(about).isLessThanOrEqualTo(2 * first * 1.05 + 0.1);
      }
    }
  }

  @Test
  void nothingIsNamedWhereNothingIsKnown() {
    assertThat(OutlierCell.of(List.of())).isEmpty();
  }

  @Test
  void whatIsKeptIsSaidTheSameOfWhatALogHolds() {
    long seed = Long.getLong("cellherd.seed", System.nanoTime());
    Random random = new Random(seed);
    for (int run = 0; run < 2000; run++) {
      double low = random.nextDouble();
      Interval ah = new Interval(low, low + random.nextDouble() / 5, low + 0.2);
      Interval kept = new OutlierCell(3, false, ah).apart().ah();
      assertThat(said(held(kept))).as("seed %d: %s", seed, ah).isEqualTo(said(kept));
    }
  }

  private static Interval held(Interval ah) {
    return new Interval(held(ah.low()), held(ah.mid()), held(ah.high()));
  }

  private static double held(double ah) {
    return Double.parseDouble(String.format(Locale.ROOT, "%.3f", ah));
  }

  private static String said(Interval ah) {
    return BalanceWords.was(new Apart(3, false, ah));
  }
}
