package org.cellherd.alert.rule;

import java.util.Collection;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.alert.state.Judgement;
import org.cellherd.alert.state.Words;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Spoken;
import org.jspecify.annotations.Nullable;

/**
 * A pack of a bank is open, or carries too little or too much of the current. A fair share is the
 * pack's share of the bank's rated capacity.
 */
public final class BankShare {
  public static final RuleId ID = new RuleId("bank-share");

  static final Rule.Kind KIND =
      Rule.Kind.elsewhere(
          ID,
          "a pack's share of its bank's current is off by half, or the pack is open.",
          BankShare::defaults);

  private static final long FRESH_MS = 30_000;

  private final Terms terms;
  private final RuleSettings set;

  /** All from common practice, no source. */
  private static RuleSettings defaults(PackPlan plan) {
    return Sheet.of(ID, Priority.WARNING)
        .number("limit_pct", 50, 5, 200, "a pack's share differs from its fair share by more")
        .number("deadband_pct", 10, 0, 50, "over only this much nearer")
        .number("least_current_c_rate", 0.05, 0, 10, "judged above this current of the bank")
        .number("apart_mv", 50, 1, 2000, "a cell's share of the difference to the bus")
        .delays(300, 300)
        .repeatedAfter(24);
  }

  public BankShare(RuleSettings set) {
    this.terms = Terms.live(set, "%");
    this.set = set;
  }

  /** Name, unit and delays. */
  public Terms terms() {
    return terms;
  }

  /** One pack of the bank and what it was last heard to say. */
  public static final class Member {
    private final PackPlan plan;
    private @Nullable Reading reading;
    private OptionalInt flowingMa = OptionalInt.empty();
    private long ageMs;

    /** A pack that said nothing yet. */
    public Member(PackPlan plan) {
      this.plan = plan;
    }

    /** Takes its reading. */
    public void take(Reading next, OptionalInt flowing, long nowAgeMs) {
      reading = next;
      flowingMa = flowing;
      ageMs = nowAgeMs;
    }

    /** It is not heard any more. */
    public void lost() {
      reading = null;
    }

    private boolean isHeard(long nowAgeMs) {
      return reading != null && flowingMa.isPresent() && nowAgeMs - ageMs <= FRESH_MS;
    }

    /** True when the board says that a switch is open. */
    private boolean saysOpen() {
      Reading r = reading;
      return r != null && (r.dischargeSwitch().orElse(1) == 0 && r.chargeSwitch().orElse(0) == 0);
    }

    /** Voltage of its cells, whatever the switches do, mV. */
    private OptionalDouble cellsMv() {
      Reading r = reading;
      OptionalInt sum = r == null ? OptionalInt.empty() : r.cells().sumTenthMv();
      return sum.isPresent() ? OptionalDouble.of(sum.getAsInt() / 10.0) : OptionalDouble.empty();
    }
  }

  /**
   * The bank at one moment.
   *
   * @param totalA current of all packs together, positive charging; empty unless all are heard
   * @param ratedAh rated capacity of all packs together
   * @param sharePct each pack's share of the total in percent; empty where the total is too small
   * @param busMv voltage of each pack's neighbours on the bus, mV
   */
  public record Shares(
      OptionalDouble totalA,
      double ratedAh,
      Map<String, Double> sharePct,
      Map<String, Double> busMv) {
    public Shares {
      sharePct = Map.copyOf(sharePct);
      busMv = Map.copyOf(busMv);
    }
  }

  /** Works out the shares of the packs. */
  public Shares shares(Collection<Member> members, long nowAgeMs) {
    double rated = members.stream().mapToDouble(m -> m.plan.ratedAh()).sum();
    if (!members.stream().allMatch(m -> m.isHeard(nowAgeMs))) {
      return new Shares(OptionalDouble.empty(), rated, Map.of(), Map.of());
    }
    double total = members.stream().mapToDouble(m -> m.flowingMa.orElse(0) / 1000.0).sum();
    Map<String, Double> share = new LinkedHashMap<>();
    Map<String, Double> bus = new LinkedHashMap<>();
    for (Member member : members) {
      if (Math.abs(total) > rated * set.number("least_current_c_rate")) {
        share.put(member.plan.id(), member.flowingMa.orElse(0) / 1000.0 / total * 100);
      }
      members.stream()
          .filter(m -> m != member && !m.saysOpen() && m.cellsMv().isPresent())
          .mapToDouble(m -> m.cellsMv().orElseThrow())
          .average()
          .ifPresent(mv -> bus.put(member.plan.id(), mv));
    }
    return new Shares(OptionalDouble.of(total), rated, share, bus);
  }

  /** Judges one pack; empty when too little current flows and no switch says that it is open. */
  public Optional<Judgement> judge(Member member, Shares shares) {
    if (shares.totalA().isEmpty()) {
      return Optional.empty();
    }
    double fair = fairPct(member, shares);
    Double share = shares.sharePct().get(member.plan.id());
    boolean isOpen = member.saysOpen() || (share != null && member.flowingMa.orElse(0) == 0);
    if (share == null && !isOpen) {
      return Optional.empty();
    }
    double now = share == null ? 0 : share;
    double off = Math.abs(now / fair - 1) * 100;
    double limit = set.number("limit_pct");
    boolean isWrong = isOpen || off > limit;
    boolean isBack = !isOpen && off <= limit - set.number("deadband_pct");
    return Optional.of(
        new Judgement(
            isWrong ? 1 : 0, isBack, now, fair, () -> words(member, shares, isOpen, now, fair)));
  }

  /** Share that a pack ought to carry, by its rated Ah, percent. */
  public static double fairPct(Member member, Shares shares) {
    return member.plan.ratedAh() / shares.ratedAh() * 100;
  }

  private Words words(Member member, Shares shares, boolean isOpen, double now, double fair) {
    Facts evidence =
        Facts.of()
            .put("open", isOpen)
            .put("share_pct", now, 0)
            .put("fair_share_pct", fair, 0)
            .put("bank_current_a", shares.totalA(), 1)
            .put("bus_difference_mv", difference(member, shares), 0)
            .build();
    if (isOpen) {
      return Words.of(
          "Pack " + member.plan.id() + " carries nothing of the bank's current, it is open",
          reconnect(member, shares),
          evidence);
    }
    return Words.of(
        "Pack %s carries %s %% of the bank's current, its fair share is %s %%"
            .formatted(member.plan.id(), Spoken.number(now, 0), Spoken.number(fair, 0)),
        "Compare wires, fuses and state of charge of the packs.",
        evidence);
  }

  private static OptionalDouble difference(Member member, Shares shares) {
    Double bus = shares.busMv().get(member.plan.id());
    OptionalDouble own = member.cellsMv();
    return bus == null || own.isEmpty()
        ? OptionalDouble.empty()
        : OptionalDouble.of(own.getAsDouble() - bus);
  }

  private String reconnect(Member member, Shares shares) {
    OptionalDouble difference = difference(member, shares);
    if (difference.isEmpty()) {
      return "Do not reconnect it until its voltage has been compared with the bus.";
    }
    double most = set.number("apart_mv") * member.plan.series();
    String volts = Spoken.packVolts(Math.abs(difference.getAsDouble()));
    return Math.abs(difference.getAsDouble()) > most
        ? "Do not reconnect: bus differs by " + volts + "."
        : "Find out why it is open; the bus differs by " + volts + ".";
  }
}
