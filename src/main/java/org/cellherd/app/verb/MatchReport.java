package org.cellherd.app.verb;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.stream.Collectors;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.plan.PlanAudit;
import org.cellherd.pack.Cautions;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PlainText;
import org.cellherd.pack.Spoken;
import org.cellherd.pile.CurrentShare;
import org.cellherd.pile.FirstBalance;
import org.cellherd.pile.Matching;
import org.cellherd.pile.Pool;
import org.cellherd.report.TextTable;
import org.cellherd.report.lid.ArrangementPicture;
import org.cellherd.report.scene.Drawing;
import org.cellherd.report.scene.Theme;

/**
 * An arrangement as text, as facts and as a plan.
 *
 * @param found the arrangement
 * @param pool the units it was made of
 * @param loadA load of the pack, A, if told
 * @param bleedMa bleed current of the board, mA, if told
 */
record MatchReport(Matching found, Pool pool, OptionalDouble loadA, OptionalDouble bleedMa) {

  /** Units are joined when none takes more than half its capacity in an hour; common practice. */
  private static final double JOIN_C = 0.5;

  List<String> lines() {
    List<String> lines = new ArrayList<>();
    lines.add(headline());
    lines.add(
        text(
            "The pack will hold %s Ah (95 of 100), from the errors of the measured capacities.",
            Spoken.between(found.packAh().low(), found.packAh().high(), decimals())));
    lines.add(spreads());
    lines.add("");
    lines.addAll(groups());
    if (!found.spares().isEmpty()) {
      lines.add(
          "spare: "
              + found.spares().stream()
                  .map(Matching.Candidate::id)
                  .collect(Collectors.joining(" ")));
    }
    lines.add("");
    lines.addAll(joining());
    lines.addAll(shares());
    balance().ifPresent(hours -> lines.add(balanceSentence(hours)));
    lines.addAll(Cautions.LIST);
    return lines;
  }

  private String headline() {
    String bound =
        found.isBest()
            ? "; no arrangement is stronger"
            : text(", %.2f %% of the proven bound of %s", found.reachedPct(), ah(found.boundAh()));
    return text("The weakest group holds %s%s.", ah(found.weakestAh()), bound);
  }

  private String spreads() {
    OptionalDouble conductance = found.conductanceSpreadPct();
    return text("The groups differ by %s", ah(found.spreadAh()))
        + (conductance.isPresent()
            ? text(" and by %.1f %% in conductance.", conductance.getAsDouble())
            : "; resistances are not all known.");
  }

  private String ah(double value) {
    return Spoken.number(value, decimals()) + " Ah";
  }

  /** As many as make four digits of a group: no tester tells more. */
  private int decimals() {
    double weakest = Math.max(1, found.weakestAh());
    return Math.max(0, 3 - (int) Math.floor(Math.log10(weakest)));
  }

  private List<String> groups() {
    TextTable table =
        new TextTable(0).row("group", "Ah", "mohm", "units, in build order (+ up, - down)");
    for (int g = 0; g < found.groups().size(); g++) {
      Matching.Group group = found.groups().get(g);
      table.row(
          Integer.toString(g + 1),
          Spoken.number(group.ah(), decimals()),
          group.mohm().isPresent() ? text("%.3f", group.mohm().getAsDouble()) : "-",
          (g % 2 == 0 ? "+ " : "- ") + ids(group));
    }
    return table.lines();
  }

  private static String ids(Matching.Group group) {
    return group.units().stream().map(Matching.Candidate::id).collect(Collectors.joining(" "));
  }

  private List<String> joining() {
    List<String> lines = new ArrayList<>();
    for (int g = 0; g < found.groups().size(); g++) {
      Matching.Group group = found.groups().get(g);
      double least = group.units().stream().mapToDouble(Matching.Candidate::ah).min().orElse(1);
      OptionalDouble near = CurrentShare.nearEnoughMv(group, JOIN_C * least);
      OptionalDouble apart = apartMv(group);
      if (near.isPresent() && apart.isPresent() && apart.getAsDouble() > near.getAsDouble()) {
        lines.add(
            text(
                "Group %d: its units rest %.0f mV apart; bring them within %.0f mV before joining,"
                    + " else one takes more than %s.",
                g + 1, apart.getAsDouble(), near.getAsDouble(), Spoken.amps(JOIN_C * least)));
      }
    }
    return lines;
  }

  private OptionalDouble apartMv(Matching.Group group) {
    double low = Double.POSITIVE_INFINITY;
    double high = Double.NEGATIVE_INFINITY;
    for (Matching.Candidate candidate : group.units()) {
      OptionalDouble mv = pool.unit(candidate.id()).restMvPerCell();
      if (mv.isEmpty()) {
        return OptionalDouble.empty();
      }
      low = Math.min(low, mv.getAsDouble());
      high = Math.max(high, mv.getAsDouble());
    }
    return OptionalDouble.of(high - low);
  }

  private List<String> shares() {
    List<String> lines = new ArrayList<>();
    for (int g = 0; loadA.isPresent() && g < found.groups().size(); g++) {
      List<CurrentShare> shares = CurrentShare.of(found.groups().get(g), loadA.getAsDouble());
      if (shares.size() > 1) {
        lines.add(
            text("Group %d at %s: ", g + 1, Spoken.amps(loadA.getAsDouble()))
                + shares.stream().map(MatchReport::share).collect(Collectors.joining(", "))
                + "."
                + beyond(shares));
      }
    }
    return lines;
  }

  /** Units that would carry more than is usual for their rating, or what they hold. */
  private String beyond(List<CurrentShare> shares) {
    String many =
        shares.stream()
            .filter(s -> s.nearEmptyA() > PlanAudit.DISCHARGE_C * ratedAh(s))
            .map(s -> s.unit().id() + text(" (%.2f C)", s.nearEmptyA() / ratedAh(s)))
            .collect(Collectors.joining(", "));
    return many.isEmpty()
        ? ""
        : text(" Above the usual %.0f C of the rating: %s.", PlanAudit.DISCHARGE_C, many);
  }

  private double ratedAh(CurrentShare share) {
    return pool.unit(share.unit().id()).ratedAh().orElse(share.unit().ah());
  }

  private static String share(CurrentShare share) {
    return share.unit().id()
        + " "
        + Spoken.amps(share.middleA())
        + text(" (near empty up to %s)", Spoken.amps(share.nearEmptyA()));
  }

  private Optional<Interval> balance() {
    return bleedMa.isPresent()
        ? FirstBalance.hours(found, pool, bleedMa.getAsDouble() / 1000)
        : Optional.empty();
  }

  private String balanceSentence(Interval hours) {
    return text(
        "The first top balance will bleed %s h at %.0f mA, as far as the rest voltages"
            + " tell. Charging all units in parallel to the top first leaves little of it.",
        Spoken.between(hours.low(), hours.high(), 0), bleedMa.orElse(0));
  }

  Facts facts() {
    List<Facts> groups = new ArrayList<>();
    for (int g = 0; g < found.groups().size(); g++) {
      groups.add(facts(g));
    }
    Facts.Builder all =
        Facts.of()
            .put("weakest_ah", found.weakestAh(), 4)
            .put("bound_ah", found.boundAh(), 4)
            .put("best", found.isBest())
            .put("reached_pct", found.reachedPct(), 3)
            .putLow("pack_ah_low", found.packAh().low(), 3)
            .putHigh("pack_ah_high", found.packAh().high(), 3)
            .put("spread_ah", found.spreadAh(), 4)
            .put("conductance_spread_pct", found.conductanceSpreadPct(), 2)
            .put("groups", groups)
            .put("spares", found.spares().stream().map(Matching.Candidate::id).toList());
    balance()
        .ifPresentOrElse(
            h ->
                all.put(
                    "first_balance_h",
                    Facts.of().putLow("low", h.low(), 1).putHigh("high", h.high(), 1).build()),
            () -> all.putUnknown("first_balance_h"));
    return all.build();
  }

  private Facts facts(int g) {
    Matching.Group group = found.groups().get(g);
    double least = group.units().stream().mapToDouble(Matching.Candidate::ah).min().orElse(1);
    Facts.Builder facts =
        Facts.of()
            .put("group", g + 1)
            .put("ah", group.ah(), 4)
            .put("mohm", group.mohm(), 4)
            .put("units", group.units().stream().map(Matching.Candidate::id).toList())
            .put("join_within_mv", CurrentShare.nearEnoughMv(group, JOIN_C * least), 1);
    if (loadA.isPresent()) {
      facts.put(
          "shares",
          CurrentShare.of(group, loadA.getAsDouble()).stream()
              .map(
                  s ->
                      Facts.of()
                          .put("unit", s.unit().id())
                          .put("middle_a", s.middleA(), 3)
                          .put("near_empty_a", s.nearEmptyA(), 3)
                          .build())
              .toList());
    }
    return facts.build();
  }

  /** The arrangement as a picture, of the kind that the file's ending says. */
  byte[] picture(Path file) {
    List<List<String>> groups =
        found.groups().stream()
            .map(g -> g.units().stream().map(Matching.Candidate::id).toList())
            .toList();
    Drawing scene =
        ArrangementPicture.scene(
            text("%dS of %s", groups.size(), Spoken.counted(groups.get(0).size(), "unit")), groups);
    return ByEnding.ofPicture(scene, Theme.LIGHT).of(file);
  }

  /** The {@code [[pack]]} that {@code check} reads. */
  String plan(String source) {
    String chemistry =
        pool.units().stream()
            .flatMap(u -> u.chemistry().stream())
            .findFirst()
            .map(Chemistry::word)
            .orElse("lfp");
    double rated = found.groups().stream().mapToDouble(pool::ratedAh).min().orElse(0);
    int parallel = found.groups().stream().mapToInt(pool::cells).min().orElse(1);
    String cells =
        found.groups().stream()
            .map(
                g ->
                    g.units().stream()
                        .map(u -> '"' + u.id() + '"')
                        .collect(Collectors.joining(", ", "  [", "]")))
            .collect(Collectors.joining(",\n"));
    return text(
        """
        # Made by cellherd match from %s. Compare with what you build, add board, fuse and wire,
        # and ask: cellherd check --plan FILE
        [[pack]]
        id = "pack"
        chemistry = "%s"
        series = %d
        parallel = %d
        rated_ah = %s
        cells = [          # what is written on the units of each group
        %s
        ]
        """,
        PlainText.marked(source),
        chemistry,
        found.groups().size(),
        parallel,
        Spoken.exactly(Math.round(rated * 100), 2),
        cells);
  }

  private static String text(String format, Object... values) {
    return String.format(Locale.ROOT, format, values);
  }
}
