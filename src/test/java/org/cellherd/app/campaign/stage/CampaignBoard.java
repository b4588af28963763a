package org.cellherd.app.campaign.stage;

import java.util.function.LongSupplier;
import java.util.function.Predicate;
import java.util.function.UnaryOperator;
import org.cellherd.board.FarSide;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.protocol.Responder;
import org.cellherd.protocol.catalog.Specs;
import org.cellherd.sim.PackModel;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.SimulatedRig;
import org.jspecify.annotations.Nullable;

/**
 * The board of the first pack of a scenario, which measures anew at each first question of a poll
 * and writes down what it measured. Thread-safe.
 */
public final class CampaignBoard implements FarSide {

  private final SimulatedRig rig;
  private final PackModel model;
  private final Responder responder;
  private final Predicate<byte[]> opens;
  private final LongSupplier rigMs;
  private final LongSupplier trueMs;
  private final BoardRecord record;
  private UnaryOperator<Reading> lie = UnaryOperator.identity();
  private @Nullable Reading current;

  /** A board that numbers its readings from here. */
  public CampaignBoard(
      Scenario scenario, LongSupplier rigMs, LongSupplier trueMs, int firstNumber) {
    this.rig = scenario.rig();
    this.model = rig.packs().get(0);
    this.rigMs = rigMs;
    this.trueMs = trueMs;
    this.record = new BoardRecord(firstNumber);
    this.opens =
        model.decoder().equals("sorrel-16")
            ? CampaignBoard::opensSorrel
            : CampaignBoard::opensTeasel;
    this.responder =
        Specs.find(model.decoder()).flatMap(d -> d.responder(model.address())).orElseThrow();
  }

  /** True of the question that opens a poll of that description. */
  private static boolean opensSorrel(byte[] sent) {
    return sent.length > 2 && sent[1] == 0x31;
  }

  private static boolean opensTeasel(byte[] sent) {
    return sent.length > 1 && sent[1] == 3;
  }

  /** True of the question by which a poll begins. */
  boolean opens(byte[] sent) {
    return opens.test(sent);
  }

  @Override
  public synchronized byte[] exchange(byte[] sent) {
    rig.stepTo(rigMs.getAsLong());
    Reading known = current;
    if (known == null || opens.test(sent)) {
      known = record.add(trueMs.getAsLong(), lie.apply(rig.measured()));
      current = known;
    }
    Reading now = known;
    return responder.feed(sent, () -> now);
  }

  /** What its sensors make of the truth, until told otherwise. */
  public synchronized void lie(UnaryOperator<Reading> next) {
    lie = next;
  }

  /** What it measured. */
  public BoardRecord record() {
    return record;
  }

  /** Its pack, as the builder wrote it into the config. */
  public PackPlan plan() {
    return model.plan();
  }

  /** The description that it answers by. */
  public String spec() {
    return model.decoder();
  }
}
