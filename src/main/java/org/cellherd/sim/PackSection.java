package org.cellherd.sim;

import java.util.List;
import java.util.OptionalInt;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.PackPlan.BoardRating;
import org.cellherd.pack.Worded;
import org.cellherd.toml.TomlTable;

/** {@code [[pack]]}: a pack, its cells and its board. */
final class PackSection {

  private final PackPlan plan;
  private final CellsSection cells;
  private final BoardTraits board;
  private final String decoder;
  private final int address;
  private final int answerMs;
  private final int updateMs;
  private final int announceMs;

  private PackSection(TomlTable t, PackPlan plan) {
    this.plan = plan;
    this.cells = new CellsSection(t, plan.series(), plan.ratedAh());
    this.board = BoardSection.read(t, plan.series(), plan.ratedAh());
    this.decoder = t.text("decoder");
    this.address = t.integer("address", 0, 255, 1);
    this.answerMs = t.integer("answer_ms", 0, 60_000, 15);
    this.updateMs = t.integer("update_ms", 0, 60_000, 250);
    this.announceMs = t.integer("announce_ms", 0, 3_600_000, 0);
  }

  static PackSection read(TomlTable t) {
    String id = t.textLike("id", PackPlan.ID_PATTERN, PackPlan.ID_WORDS);
    String word = t.oneOf("chemistry", Worded.words(Chemistry.values()));
    int series = t.integer("series", 1, PackPlan.MAX_SERIES);
    int parallel = t.integer("parallel", 1, 1000, 1);
    double ratedAh = t.decimal("rated_ah", 0.01, 100_000);
    PackPlan plan =
        PackPlan.builder(
                PackPlan.isId(id) ? id : "unnamed",
                Chemistry.ofWord(word).orElseThrow(),
                series,
                parallel,
                Math.max(10, Math.round(ratedAh * 1000)))
            .name(t.text("name", id))
            .note(t.text("note", ""))
            .build();
    return new PackSection(t, plan);
  }

  /** As the builder would write it down, with the voltage and current of the charger. */
  PackPlan plan(OptionalInt chargeMv, OptionalInt chargerMa) {
    PackPlan.Builder full =
        plan.toBuilder()
            .sensors(board.sensors().stream().map(SensorTraits::role).toList())
            .board(rating());
    chargeMv.ifPresent(full::chargeMv);
    chargerMa.ifPresent(full::chargerMa);
    return full.build();
  }

  private BoardRating rating() {
    boolean isPlanned = board.bleed().when() != BleedTraits.When.NEVER && board.bleed().inPlan();
    return new BoardRating(
        "invented board",
        OptionalInt.empty(),
        OptionalInt.empty(),
        level(board.trip().highV(), 90),
        level(board.trip().lowV(), 90),
        isPlanned ? level(board.bleed().amperes(), 1000) : OptionalInt.empty(),
        isPlanned ? level(board.bleed().fromV(), 90) : OptionalInt.empty());
  }

  private static OptionalInt level(double value, double most) {
    return value > 0 && value < most
        ? OptionalInt.of((int) Math.round(value * 1000))
        : OptionalInt.empty();
  }

  PackModel build(PackPlan fullPlan, double ambientC, Chance chance) {
    Chance mine = chance.of(plan.id());
    SimPack pack = cells.build(plan.chemistry(), plan.series(), ambientC, mine);
    BoardModel model = new BoardModel(board, plan.series(), mine.of("board"));
    return new PackModel(fullPlan, pack, model, decoder, address);
  }

  public String id() {
    return plan.id();
  }

  public int series() {
    return plan.series();
  }

  int sensors() {
    return board.sensors().size();
  }

  /** The board thinks so long before it answers, ms. */
  public int answerMs() {
    return answerMs;
  }

  /** The board's numbers are made anew so often, ms. */
  public int updateMs() {
    return updateMs;
  }

  /** The board talks by itself so often, ms; 0 is only when asked. */
  public int announceMs() {
    return announceMs;
  }

  static List<PackSection> readAll(TomlTable top) {
    List<PackSection> packs = top.tables("pack").stream().map(PackSection::read).toList();
    if (packs.isEmpty()) {
      top.problem("pack", "is missing, allowed: one or more tables [[pack]]");
    }
    if (packs.stream().map(PackSection::id).distinct().count() < packs.size()) {
      top.problem("pack", "two packs have the same id");
    }
    return packs;
  }
}
