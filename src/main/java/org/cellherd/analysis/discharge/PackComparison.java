package org.cellherd.analysis.discharge;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import org.cellherd.analysis.Interval;
import org.cellherd.pack.Facts;

/**
 * Packs side by side.
 *
 * @param packs in the order in which they were named
 * @param fresh what a new one would cost
 */
public record PackComparison(List<Pack> packs, NewPack fresh) {
  public PackComparison {
    packs = List.copyOf(packs);
  }

  /** Energy of all donors together before they were taken apart, Wh; empty without any. */
  public Optional<Interval> donorsWh() {
    return sum(packs.stream().filter(Pack::isDonor).toList());
  }

  /** Energy of all packs that were built, Wh; empty without any. */
  public Optional<Interval> builtWh() {
    return sum(packs.stream().filter(p -> !p.isDonor()).toList());
  }

  private static Optional<Interval> sum(List<Pack> of) {
    return of.stream().map(p -> p.newest().whInterval()).reduce(Interval::plus);
  }

  /** What of the donors' energy the built packs give, percent. */
  public Optional<Interval> keptPct() {
    Optional<Interval> before = donorsWh();
    Optional<Interval> after = builtWh();
    return before.isEmpty() || after.isEmpty()
        ? Optional.empty()
        : Optional.of(
            new Interval(
                100 * after.get().low() / before.get().high(),
                100 * after.get().mid() / before.get().mid(),
                100 * after.get().high() / before.get().low()));
  }

  public Facts facts() {
    List<Facts> all = new ArrayList<>();
    packs.forEach(pack -> all.add(facts(pack)));
    Facts.Builder facts = Facts.of().put("packs", all);
    donorsWh().ifPresent(wh -> bounds(facts, "donors_wh", wh, 1));
    keptPct().ifPresent(pct -> bounds(facts, "kept_pct", pct, 1));
    if (fresh.price().isPresent()) {
      facts
          .put("new_price_per_wh", fresh.perWh(), 4)
          .put("new_price_per_life_kwh", fresh.perLifeKwh(), 4);
    }
    return facts.build();
  }

  private static Facts facts(Pack pack) {
    List<Facts> tests = new ArrayList<>();
    Optional<RateDrop> drop = pack.drop();
    pack.tests().forEach(test -> tests.add(facts(test, drop)));
    Facts.Builder facts =
        Facts.of().put("pack", pack.name()).put("donor", pack.isDonor()).put("tests", tests);
    drop.ifPresent(
        d -> {
          d.ohm().ifPresent(ohm -> bounds(facts, "drop_mohm", ohm.times(1000), 2));
          facts.put("drop_reason", d.reason().isEmpty() ? null : d.reason());
        });
    pack.life()
        .ifPresent(
            life -> {
              facts.put("life_to_pct", life.toPct());
              bounds(facts, "life_years", life.years(), 1);
              bounds(facts, "life_kwh", life.kwh(), 1);
            });
    pack.pricePerWh().ifPresent(p -> bounds(facts, "price_per_wh", p, 4));
    pack.pricePerLifeKwh().ifPresent(p -> bounds(facts, "price_per_life_kwh", p, 4));
    return facts.build();
  }

  private static Facts facts(TestedDischarge test, Optional<RateDrop> drop) {
    Facts.Builder facts = Facts.of();
    if (test.fromMs() == 0) {
      facts.putUnknown("at");
    } else {
      facts.putTime("at", test.fromMs());
    }
    bounds(facts, "ah", test.ah(), 3);
    facts
        .put("wh", test.wh(), 2)
        .put("mean_v", test.meanVolts(), 3)
        .put("mean_current_a", test.amps(), 3)
        .put("mean_temp_c", test.tempC(), 1)
        .put("rated_pct", 100 * test.ah().mid() / test.ratedAh(), 1);
    drop.flatMap(d -> d.heatWh(test)).ifPresent(wh -> bounds(facts, "heat_wh", wh, 2));
    return facts.build();
  }

  private static void bounds(Facts.Builder facts, String name, Interval of, int decimals) {
    facts
        .put(name, of.mid(), decimals)
        .putLow(name + "_low", of.low(), decimals)
        .putHigh(name + "_high", of.high(), decimals);
  }

  /**
   * What a new pack would cost, by its seller.
   *
   * @param price in the currency of the other prices
   * @param wh usable energy
   * @param lifeKwh energy over its life
   */
  public record NewPack(OptionalDouble price, OptionalDouble wh, OptionalDouble lifeKwh) {

    /** Price of a usable Wh. */
    public OptionalDouble perWh() {
      return ratio(price, wh);
    }

    /** Price of a kWh of its life. */
    public OptionalDouble perLifeKwh() {
      return ratio(price, lifeKwh);
    }

    private static OptionalDouble ratio(OptionalDouble of, OptionalDouble by) {
      return of.isPresent() && by.isPresent()
          ? OptionalDouble.of(of.getAsDouble() / by.getAsDouble())
          : OptionalDouble.empty();
    }
  }

  /**
   * The tests of one pack.
   *
   * @param name as people call it
   * @param isDonor true for a pack that was taken apart
   * @param tests oldest first, at least one
   * @param life what it may still give; empty where its use is not known
   * @param price what its parts cost
   */
  public record Pack(
      String name,
      boolean isDonor,
      List<TestedDischarge> tests,
      Optional<LifeEnergy> life,
      OptionalDouble price) {
    public Pack {
      tests = List.copyOf(tests);
      if (tests.isEmpty()) {
        throw new IllegalArgumentException(name + " without a test");
      }
    }

    public TestedDischarge newest() {
      return tests.get(tests.size() - 1);
    }

    /** The drop between the newest test and the newest at another rate. */
    public Optional<RateDrop> drop() {
      for (int i = tests.size() - 2; i >= 0; i--) {
        if (tests.get(i).isAtAnotherRate(newest())) {
          return Optional.of(RateDrop.between(tests.get(i), newest()));
        }
      }
      return Optional.empty();
    }

    /** Price of what a usable Wh costs. */
    public Optional<Interval> pricePerWh() {
      return price.isPresent() ? per(price.getAsDouble(), newest().whInterval()) : Optional.empty();
    }

    /** Price of what a kWh of the life that is left costs. */
    public Optional<Interval> pricePerLifeKwh() {
      return price.isPresent()
          ? life.flatMap(l -> per(price.getAsDouble(), l.kwh()))
          : Optional.empty();
    }

    private static Optional<Interval> per(double price, Interval of) {
      return of.low() > 0
          ? Optional.of(new Interval(price / of.high(), price / of.mid(), price / of.low()))
          : Optional.empty();
    }
  }
}
