package org.cellherd.pile;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Random;
import java.util.Set;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class MatchingTest {

  @ParameterizedTest
  @CsvSource({"2,3", "3,3", "2,4", "4,2", "3,2", "5,1", "2,2"})
  void smallPilesAreArrangedAsWellAsAnyArrangementCan(int series, int parallel) {
    for (int seed = 0; seed < 12; seed++) {
      Random random = new Random(1000L * series + 10L * parallel + seed);
      int spares = series * parallel > 8 ? 0 : random.nextInt(2);
      List<Matching.Candidate> units =
          Piles.drawn(random, series * parallel + spares, random.nextDouble() * 0.4);
      Matching.Rules rules = Matching.Rules.of(series, parallel);

      Matching found = Matching.of(units, rules).orElseThrow();

      assertThat(found.isBest()).as("seed %d", seed).isTrue();
      assertThat(found.weakestAh())
          .as("seed %d", seed)
          .isCloseTo(Piles.bruteForce(units, rules), within(0.0006 * found.weakestAh()));
      assertThat(found.boundAh()).isGreaterThanOrEqualTo(found.weakestAh() - 1e-9);
    }
  }

  @ParameterizedTest
  @ValueSource(ints = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10})
  void wishesAreMetAndCostNoMoreThanTheyMust(int seed) {
    Random random = new Random(seed);
    List<Matching.Candidate> units = Piles.drawn(random, 9, 0.2);
    Matching.Rules rules =
        new Matching.Rules(
            3,
            3,
            List.of(Set.of("u0", "u4")),
            List.of(Set.of("u1", "u2"), Set.of("u5", "u6")),
            false);

    Matching found = Matching.of(units, rules).orElseThrow();

    assertThat(Wish.areMet(rules, id -> groupOf(found, id))).isTrue();
    assertThat(found.weakestAh())
        .isCloseTo(Piles.bruteForce(units, rules), within(0.0006 * found.weakestAh()));
  }

  @ParameterizedTest
  @ValueSource(ints = {1, 2, 3, 4, 5, 6})
  void noGroupMixesDonorsWhereThatIsWished(int seed) {
    Random random = new Random(seed);
    List<Matching.Candidate> units = Piles.drawn(random, 9, 0.2);
    Matching.Rules rules = new Matching.Rules(3, 2, List.of(), List.of(), true);

    Optional<Matching> found = Matching.of(units, rules);

    double best = Piles.bruteForce(units, rules);
    assertThat(found.isPresent()).isEqualTo(best > 0);
    found.ifPresent(
        m -> {
          m.groups()
              .forEach(
                  g ->
                      assertThat(g.units().stream().map(Matching.Candidate::donor).distinct())
                          .hasSize(1));
          assertThat(m.weakestAh()).isCloseTo(best, within(0.0006 * best));
          assertThat(m.boundAh()).isGreaterThanOrEqualTo(best - 1e-9);
        });
  }

  @ParameterizedTest
  @CsvSource({"50,4", "100,2", "66,3", "8,25", "16,12", "4,50", "200,1"})
  void twoHundredUnitsComeWithinAFifthOfAPercentOfTheBound(int series, int parallel) {
    for (int seed = 0; seed < 3; seed++) {
      List<Matching.Candidate> units = Piles.drawn(new Random(seed), 200, 0.08);

      Matching found = Matching.of(units, Matching.Rules.of(series, parallel)).orElseThrow();

      assertThat(found.reachedPct()).as("seed %d", seed).isBetween(99.8, 100 + 1e-9);
      assertThat(found.spares()).hasSize(200 - series * parallel);
      assertThat(used(found)).hasSize(series * parallel);
    }
  }

  /** No arrangement may beat the bound, however lucky: the weakest of any random one is below. */
  @Test
  void noArrangementBeatsTheBound() {
    for (int seed = 0; seed < 300; seed++) {
      Random random = new Random(seed);
      int series = 1 + random.nextInt(4);
      int parallel = 1 + random.nextInt(series > 2 ? 2 : 4);
      int count = Math.min(8, series * parallel + random.nextInt(2));
      if (count < series * parallel) {
        continue;
      }
      List<Matching.Candidate> units = Piles.drawn(random, count, random.nextDouble() * 0.8);
      double[] ah = units.stream().mapToDouble(Matching.Candidate::ah).toArray();

      double bound = Bound.weakest(ah, series, parallel);

      assertThat(bound)
          .as("seed %d", seed)
          .isGreaterThanOrEqualTo(
              Piles.bruteForce(units, Matching.Rules.of(series, parallel)) - 1e-9);
    }
  }

  @Test
  void theCapacityOfThePackHoldsTheTruthAsOftenAsItSays() {
    Random random = new Random(5);
    int held = 0;
    int packs = 200;
    for (int pack = 0; pack < packs; pack++) {
      Map<String, Double> truth = new HashMap<>();
      List<Matching.Candidate> units =
          Piles.drawn(random, 12, 0.08).stream()
              .peek(u -> truth.put(u.id(), u.ah()))
              .map(u -> measured(u, random))
              .toList();
      Matching found = Matching.of(units, Matching.Rules.of(4, 3)).orElseThrow();

      double true4 =
          found.groups().stream()
              .mapToDouble(
                  g -> g.units().stream().mapToDouble(u -> truth.getOrDefault(u.id(), 0.0)).sum())
              .min()
              .orElseThrow();

      held += found.packAh().holds(true4) ? 1 : 0;
    }
    // 95 of 100 with a binomial error of 1.5: three of them below.
    assertThat(100.0 * held / packs).isGreaterThan(90.4);
  }

  @Test
  void groupsOfEqualCapacityAreEvenedByTheirConductance() {
    List<Matching.Candidate> units =
        IntStream.range(0, 16)
            .mapToObj(
                i ->
                    new Matching.Candidate(
                        "u" + i, "", 5, 0.05, OptionalDouble.of(i < 8 ? 20 : 30)))
            .toList();

    Matching found = Matching.of(units, Matching.Rules.of(4, 4)).orElseThrow();

    assertThat(found.conductanceSpreadPct().orElseThrow()).isCloseTo(0, within(1e-9));
  }

  /** Trade fact, no source: 12S2P of 9 Ah regrouped to 4S6P is 27 Ah; six cells of 4.5 Ah each. */
  @Test
  void twelveInSeriesTwoInParallelBecomeFourInSeriesSixInParallel() {
    List<Matching.Candidate> cells =
        IntStream.range(0, 24)
            .mapToObj(i -> new Matching.Candidate("c" + i, "", 4.5, 0, OptionalDouble.empty()))
            .toList();

    Matching found = Matching.of(cells, Matching.Rules.of(4, 6)).orElseThrow();

    assertThat(found.weakestAh()).isCloseTo(27, within(1e-9));
    assertThat(found.isBest()).isTrue();
  }

  @Test
  void theSameUnitsGiveTheSameArrangement() {
    List<Matching.Candidate> units = Piles.drawn(new Random(3), 40, 0.1);

    assertThat(Matching.of(units, Matching.Rules.of(8, 5)))
        .isEqualTo(Matching.of(units, Matching.Rules.of(8, 5)));
  }

  private static Matching.Candidate measured(Matching.Candidate unit, Random random) {
    return new Matching.Candidate(
        unit.id(), unit.donor(), unit.ah() + 0.05 * random.nextGaussian(), 0.05, unit.mohm());
  }

  private static Set<String> used(Matching found) {
    Set<String> ids = new HashSet<>();
    found.groups().forEach(g -> g.units().forEach(u -> ids.add(u.id())));
    return ids;
  }

  private static int groupOf(Matching found, String id) {
    for (int g = 0; g < found.groups().size(); g++) {
      if (found.groups().get(g).units().stream().anyMatch(u -> u.id().equals(id))) {
        return g;
      }
    }
    return -1;
  }
}
