package org.cellherd.protocol.sunspec;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Spoken;
import org.cellherd.protocol.Dialogue;
import org.cellherd.protocol.LineCounts;
import org.cellherd.protocol.Refusal;
import org.cellherd.protocol.Request;
import org.cellherd.protocol.frame.Frame;
import org.cellherd.protocol.frame.FrameScanner;
import org.cellherd.protocol.frame.Numbers;
import org.cellherd.protocol.modbus.ModbusFrames;
import org.cellherd.protocol.modbus.RegisterRead;
import org.cellherd.protocol.spec.Draft;
import org.jspecify.annotations.Nullable;

/**
 * Finds a device's map once, then reads its battery models each cycle. Belongs to one thread.
 *
 * <pre>
 * probe 40000, 0, 50000 ─► "SunS" ─► walk ID and length to the end ─► read models, every cycle
 * </pre>
 */
final class SunSpecDialogue implements Dialogue {
  private static final int MARKER_HIGH = 0x5375;
  private static final int MARKER_LOW = 0x6E53;
  private static final int END = 0xFFFF;
  private static final int MOST_MODELS = 100;

  /** A header that was asked for in vain so often is taken for the end of what can be read. */
  private static final int MOST_IN_VAIN = 2;

  private static final long ILLEGAL_ADDRESS = 2;

  private final int address;
  private final int string;
  private final FrameScanner scanner;
  private final Walk walk = new Walk();
  private final Map<Integer, Model> models = new TreeMap<>();
  private @Nullable RegisterRead outstanding;
  private int[] block = new int[0];
  private int place;
  private int blockAt;
  private Draft last = new Draft();
  private @Nullable Strings strings;

  /** What is known of the map. */
  private static final class Walk {
    private static final int[] BASES = {40_000, 0, 50_000};
    private final List<Place> places = new ArrayList<>();
    private int base;
    private int next = -1;
    private int walked;
    private boolean done;
    private int inVain;
    private String doubt = "";

    void restart() {
      places.clear();
      base = 0;
      next = -1;
      walked = 0;
      done = false;
      inVain = 0;
      doubt = "";
    }

    boolean hasBattery() {
      return places.stream().anyMatch(p -> p.id() >= 802);
    }

    /** The map has no end model: what was found is read, and that is said. */
    void breakOff(String why) {
      Place last = places.get(places.size() - 1);
      done = true;
      doubt =
          "has no end model, %s: read as far as model %d at %d"
              .formatted(why, last.id(), last.start());
    }

    boolean isLost() {
      return base >= BASES.length;
    }
  }

  /** A model's ID, the address of its ID register, and its registers in all. */
  private record Place(int id, int start, int registers) {}

  /**
   * A talk.
   *
   * @param string the string of a bank, from 1; 0 for a device that has but one
   */
  SunSpecDialogue(int address, int string) {
    this.address = address;
    this.string = string;
    this.scanner = new FrameScanner(RegisterRead.framing(), RegisterRead.nothing());
  }

  @Override
  public void begin() {
    outstanding = null;
    models.values().removeIf(m -> m.id() != 1);
    place = 0;
    blockAt = 0;
    block = new int[0];
    if (!walk.done && walk.next >= 0 && ++walk.inVain > MOST_IN_VAIN && walk.hasBattery()) {
      walk.breakOff("and beyond it the device is silent");
    }
    if (walk.isLost() || (walk.done && walk.places.isEmpty())) {
      restart();
    }
  }

  private void restart() {
    walk.restart();
    models.clear();
    strings = null;
  }

  @Override
  public Optional<Request> nextRequest() {
    Optional<RegisterRead> read = nextRead();
    outstanding = read.orElse(null);
    return retry();
  }

  private Optional<RegisterRead> nextRead() {
    if (!walk.done) {
      if (walk.isLost()) {
        return Optional.empty();
      }
      return Optional.of(
          walk.next < 0
              ? new RegisterRead("marker", address, 3, Walk.BASES[walk.base], 3)
              : new RegisterRead("model header", address, 3, walk.next, 2));
    }
    while (place < walk.places.size() && isKnown(place)) {
      place++;
    }
    if (place >= walk.places.size()) {
      return Optional.empty();
    }
    Place p = walk.places.get(place);
    int count = Math.min(RegisterRead.MOST, p.registers() - blockAt);
    return Optional.of(new RegisterRead("model " + p.id(), address, 3, p.start() + blockAt, count));
  }

  /** True for what need not be read again: who the device is, and other strings. */
  private boolean isKnown(int at) {
    Strings known = strings;
    boolean isOther = known != null && string > 0 && known.of(at) > 0 && known.of(at) != string;
    return isOther || models.containsKey(at);
  }

  @Override
  public Optional<Request> retry() {
    if (outstanding == null) {
      return Optional.empty();
    }
    Request request = outstanding.request();
    scanner.expect(outstanding, request.bytes());
    return Optional.of(request);
  }

  @Override
  public Progress feed(byte[] chunk, int offset, int length) {
    scanner.append(chunk, offset, length);
    return look(false);
  }

  @Override
  public Progress silence() {
    return look(true);
  }

  private Progress look(boolean silent) {
    FrameScanner.Verdict verdict = scanner.next(silent);
    if (outstanding == null || verdict == FrameScanner.Verdict.WAIT) {
      return Progress.NEED_MORE;
    }
    if (verdict == FrameScanner.Verdict.REFUSED) {
      return Progress.REFUSED;
    }
    return take(scanner.frame().orElseThrow());
  }

  private Progress take(Frame frame) {
    if (frame.isException()) {
      return declined(ModbusFrames.EXCEPTIONS.refusal(frame), frame);
    }
    int[] registers = new int[frame.data().length / 2];
    for (int i = 0; i < registers.length; i++) {
      registers[i] = (int) Numbers.unsigned(frame.data(), 2 * i, 2, false);
    }
    outstanding = null;
    if (walk.done) {
      return takeBlock(registers);
    }
    if (walk.next < 0) {
      takeMarker(registers);
    } else {
      takeHeader(registers);
    }
    return Progress.ANSWERED;
  }

  /** A no to the marker means another base; behind the last battery model it is the end. */
  private Progress declined(Refusal refusal, Frame frame) {
    scanner.refuseTaken(refusal);
    boolean isBeyond = frame.data().length > 0 && frame.data()[0] == ILLEGAL_ADDRESS;
    if (refusal.reason() == Refusal.Reason.BUSY || walk.done) {
      return Progress.REFUSED;
    }
    if (walk.next < 0) {
      walk.base++;
    } else if (isBeyond && walk.hasBattery()) {
      walk.breakOff("and beyond it the device has no registers");
    } else {
      return Progress.REFUSED;
    }
    outstanding = null;
    return Progress.ANSWERED;
  }

  private void takeMarker(int[] registers) {
    if (registers[0] == MARKER_HIGH && registers[1] == MARKER_LOW) {
      walk.next = Walk.BASES[walk.base] + 2;
      return;
    }
    walk.base++;
    if (walk.isLost()) {
      note("no SunSpec map at 40000, 0 or 50000");
    }
  }

  private void takeHeader(int[] registers) {
    int id = registers[0];
    int length = registers[1];
    int after = walk.next + 2 + length;
    walk.walked++;
    walk.inVain = 0;
    boolean isEndless = id == 0 || walk.walked > MOST_MODELS || after > 65_535;
    if (id != END && isEndless && walk.hasBattery()) {
      walk.breakOff("but what is no model");
      return;
    }
    if (id == END || walk.walked > MOST_MODELS || after > 65_535) {
      walk.done = true;
      if (walk.places.stream().noneMatch(p -> p.id() >= 802)) {
        note("the device has no battery model 802 to 805");
        walk.places.clear();
      }
      return;
    }
    if (id == 1 || (id >= 802 && id <= 805)) {
      walk.places.add(new Place(id, walk.next, 2 + length));
    }
    walk.next = after;
  }

  private Progress takeBlock(int[] registers) {
    Place p = walk.places.get(place);
    if (blockAt == 0) {
      if (registers[0] != p.id() || (registers.length > 1 && registers[1] != p.registers() - 2)) {
        note("the map has changed: it is walked anew");
        restart();
        return Progress.REFUSED;
      }
      block = new int[p.registers()];
    }
    System.arraycopy(registers, 0, block, blockAt, registers.length);
    blockAt += registers.length;
    if (blockAt >= block.length) {
      models.put(place, new Model(p.id(), block));
      place++;
      blockAt = 0;
    }
    return Progress.ANSWERED;
  }

  private void note(String detail) {
    scanner.remark(new Refusal(Refusal.Reason.NOT_OURS, 0, detail));
  }

  @Override
  public int bytesWanted() {
    return outstanding != null && scanner.isEmpty() ? outstanding.replyBytes() : scanner.wanted();
  }

  @Override
  public boolean isListenOnly() {
    return false;
  }

  @Override
  public Optional<Reading> reading(long timeMs) {
    boolean whole = walk.done && walk.hasBattery() && place >= walk.places.size();
    List<Model> own = whole ? ofString() : List.of();
    if (own.isEmpty()) {
      return Optional.empty();
    }
    last = new BatteryModels(own, string).draft();
    if (!walk.doubt.isEmpty()) {
      last.doubtKept("the device's map", walk.doubt);
    }
    return Optional.of(last.reading(timeMs));
  }

  /** The models of the string that is asked for; none, and said, where it is not clear which. */
  private List<Model> ofString() {
    Strings known = strings == null ? Strings.of(List.copyOf(models.values())) : strings;
    strings = known;
    int count = Math.max(1, known.count());
    if (string == 0 && count > 1) {
      note(
          "the device has %1$d strings, each a pack of its own: name one, sunspec:1 to sunspec:%1$d"
              .formatted(count));
      return List.of();
    }
    if (string > count) {
      note("the device has " + Spoken.counted(count, "string") + ", there is no sunspec:" + string);
      return List.of();
    }
    return models.entrySet().stream()
        .filter(e -> known.of(e.getKey()) == 0 || known.of(e.getKey()) == Math.max(1, string))
        .map(Map.Entry::getValue)
        .toList();
  }

  @Override
  public Optional<Refusal> lastRefusal() {
    return scanner.refusal();
  }

  @Override
  public LineCounts counts() {
    return scanner.counts();
  }

  @Override
  public String boardIdentity() {
    return last.identity();
  }

  @Override
  public List<Extra> extras() {
    return last.extras();
  }

  @Override
  public List<Doubt> doubts() {
    return last.doubts();
  }
}
