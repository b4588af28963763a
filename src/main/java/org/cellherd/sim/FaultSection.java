package org.cellherd.sim;

import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import org.cellherd.pack.Worded;
import org.cellherd.sim.Fault.Kind.Amount;
import org.cellherd.toml.TomlTable;

/** {@code [[fault]]}: what goes wrong and when. */
final class FaultSection {

  private static final double HOUR_MS = 3_600_000;
  private static final int ANY = -1;

  private final Fault.Kind kind;
  private final int pack;
  private final int number;
  private final int least;
  private final int most;
  private final List<Drawn> amounts = new ArrayList<>();
  private final Drawn atH;
  private final Drawn forH;

  private FaultSection(TomlTable t, List<PackSection> packs) {
    kind = Fault.Kind.ofWord(t.oneOf("kind", Worded.words(Fault.Kind.values()))).orElseThrow();
    List<String> ids = packs.stream().map(PackSection::id).toList();
    pack = ids.isEmpty() ? 0 : ids.indexOf(t.oneOf("pack", ids, ids.get(0)));
    int series = packs.isEmpty() ? 1 : packs.get(pack).series();
    least = kind.place() == Fault.Kind.Place.TAP ? 0 : 1;
    most =
        switch (kind.place()) {
          case CELL, TAP -> series;
          case STRAP, INNER_TAP -> Math.max(1, series - 1);
          case SENSOR -> packs.isEmpty() ? 1 : Math.max(1, packs.get(pack).sensors());
          case PACK, LINE, MONITOR -> 0;
        };
    number = most == 0 ? 0 : number(t);
    for (Amount amount : kind.amounts()) {
      amounts.add(Drawn.read(t, amount.key(), amount.least(), amount.most(), amount.usual()));
    }
    atH = Drawn.read(t, "at_h", 0, 100_000, 0);
    double ever = kind == Fault.Kind.BROWN_OUT ? 0.05 : Double.POSITIVE_INFINITY;
    forH = Drawn.read(t, "for_h", 0, 100_000, ever);
  }

  private int number(TomlTable t) {
    String key =
        switch (kind.place()) {
          case TAP, INNER_TAP -> "tap";
          case SENSOR -> "sensor";
          default -> "cell";
        };
    if (!t.isText(key)) {
      return t.integer(key, least, most);
    }
    t.oneOf(key, List.of("any"));
    return ANY;
  }

  static List<FaultSection> readAll(TomlTable top, List<PackSection> packs) {
    List<FaultSection> faults = new ArrayList<>();
    for (TomlTable t : top.tables("fault")) {
      faults.add(new FaultSection(t, packs));
    }
    return faults;
  }

  Fault draw(long startMs, Chance chance) {
    double from = atH.draw(chance.of("at"));
    double to = from + forH.draw(chance.of("for"));
    List<Double> drawn = new ArrayList<>();
    for (int i = 0; i < amounts.size(); i++) {
      drawn.add(amounts.get(i).draw(chance.of("amount" + i)));
    }
    SplittableRandom random = chance.of("number").at(0);
    int place = number == ANY ? random.nextInt(least, most + 1) : number;
    long toMs = Double.isInfinite(to) ? Long.MAX_VALUE : startMs + Math.round(to * HOUR_MS);
    return new Fault(kind, pack, place, drawn, startMs + Math.round(from * HOUR_MS), toMs);
  }
}
