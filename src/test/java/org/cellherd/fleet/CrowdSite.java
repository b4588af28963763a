package org.cellherd.fleet;

import java.nio.charset.StandardCharsets;
import java.time.Instant;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.Deque;
import java.util.Iterator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Random;
import java.util.TreeMap;
import java.util.function.BiPredicate;
import java.util.zip.CRC32;

/**
 * A site of one pack that costs some kilobytes, written from the protocol's page alone: it sends
 * what its goods say hour by hour, some of it again in a newer form, takes some back, repeats old
 * messages, keeps sixteen on their way, and sends again what no centre says it holds. One thread.
 */
final class CrowdSite {

  private static final int ON_THEIR_WAY = 16;
  private static final long AGAIN_NANOS = 20_000_000_000L;
  private static final long LONGEST_NANOS = 300_000_000_000L;
  private static final long STATE_NANOS = 60_000_000_000L;
  private static final int LANES = 64;

  private static final int ONE_IN_CHANGES = 40;
  private static final int ONE_IN_GOES = 200;
  private static final int ONE_IN_COMES_LATE = 40;
  private static final int NOT_YET = -2;
  private static final int GONE = -1;

  /** Numbers that many sites share. */
  static final class Counts {
    long sent;
    long again;
    long held;
    long states;
    long refused;
    long odd;
    String oddest = "";
  }

  /** One sending; {@code of} is a log of the goods, or {@link #GONE}. */
  private static final class Sending {
    final int item;
    final int of;
    final long rev;
    long atNanos;

    Sending(int item, int of, long rev) {
      this.item = item;
      this.of = of;
      this.rev = rev;
    }
  }

  private final CrowdGoods goods;
  private final Counts counts;
  private final Random random;
  private final String name;
  private final String log;
  private final int own;
  private final int[] of;
  private final long[] revs;
  private final Deque<Sending> waiting = new ArrayDeque<>();
  private final Map<Long, Sending> sent = new LinkedHashMap<>();
  private final long stateOffset;
  private long lastRev;
  private int hours;
  private int pauses;
  private long pausedNanos;
  private long answeredNanos;
  private boolean wasAnswered;
  private long statedNanos;
  private String late = "";
  private String repeated = "";

  CrowdSite(int number, CrowdGoods goods, Counts counts, long nowNanos) {
    this.goods = goods;
    this.counts = counts;
    this.random = new Random(number);
    this.name = "crowd-" + number;
    this.log =
        String.format(
            Locale.ROOT, "c0000000-0000-4000-8000-%04x%08x", random.nextInt(65_536), number);
    this.own = random.nextInt(goods.logs());
    this.lastRev = random.nextInt(1_000_000);
    this.of = new int[goods.size()];
    this.revs = new long[goods.size()];
    Arrays.fill(of, NOT_YET);
    this.stateOffset = (long) (random.nextDouble() * STATE_NANOS);
    this.statedNanos = nowNanos - STATE_NANOS + stateOffset;
  }

  String name() {
    return name;
  }

  String log() {
    return log;
  }

  int lane() {
    CRC32 crc = new CRC32();
    crc.update(name.getBytes(StandardCharsets.UTF_8));
    return (int) (crc.getValue() % LANES);
  }

  private String topic(String word) {
    return FleetSite.ROOT + "/" + lane() + "/" + name + "/" + word;
  }

  /** When in the spread after an hour's end it seals that hour, as a part of 1. */
  double lateness() {
    return (double) stateOffset / STATE_NANOS;
  }

  /** How many hours it has sealed. */
  int hours() {
    return hours;
  }

  /** The next hour is sealed: what it holds is to be sent, and now and then something older. */
  void sealHour() {
    for (int i = 0; i < of.length; i++) {
      int hour = goods.item(own, i).hour();
      if (hour == hours) {
        change(i, own);
      } else if (hour < hours && random.nextInt(ONE_IN_CHANGES * hours) == 0) {
        change(i, random.nextInt(goods.logs()));
      } else if (hour < hours && random.nextInt(ONE_IN_GOES * hours) == 0) {
        change(i, GONE);
      }
    }
    hours++;
    repeated = late;
    late = "";
  }

  private void change(int item, int from) {
    of[item] = from;
    revs[item] = ++lastRev;
    waiting.add(new Sending(item, from, lastRev));
  }

  /** True when the centre has said that it holds everything. */
  boolean isAllHeld() {
    return waiting.isEmpty() && sent.isEmpty();
  }

  /** How many parcels are not held yet. */
  int left() {
    return waiting.size() + sent.size();
  }

  /** Sends what is due, as long as there is room for it. */
  void work(long nowNanos, BiPredicate<String, String> publish, BiPredicate<String, String> keep) {
    if (nowNanos - statedNanos >= STATE_NANOS && keep.test(topic("now/hut"), state())) {
      statedNanos = nowNanos;
      counts.states++;
    }
    if (!repeated.isEmpty() && publish.test(topic("parcel"), repeated)) {
      repeated = "";
    }
    while (again(nowNanos, publish) || fresh(nowNanos, publish)) {
      // Until nothing is due.
    }
  }

  private boolean fresh(long nowNanos, BiPredicate<String, String> publish) {
    Sending next = waiting.peekFirst();
    boolean isDue = next != null && sent.size() < ON_THEIR_WAY;
    // What changed meanwhile comes in its newer form.
    if (isDue && (revs[next.item] != next.rev || send(next, nowNanos, publish))) {
      waiting.removeFirst();
      return true;
    }
    return false;
  }

  /** The oldest on its way, when its time is over. */
  private boolean again(long nowNanos, BiPredicate<String, String> publish) {
    for (Iterator<Map.Entry<Long, Sending>> each = sent.entrySet().iterator(); each.hasNext(); ) {
      Sending oldest = each.next().getValue();
      if (revs[oldest.item] != oldest.rev) {
        each.remove();
        continue;
      }
      boolean isPassedOver = wasAnswered && oldest.atNanos - answeredNanos < 0;
      boolean isPause = !isPassedOver && pauses > 0 && nowNanos - pausedNanos < pause();
      if (isPause || nowNanos - oldest.atNanos < AGAIN_NANOS) {
        return false;
      }
      Sending next = new Sending(oldest.item, oldest.of, oldest.rev);
      each.remove();
      if (!send(next, nowNanos, publish)) {
        waiting.addFirst(next);
        return false;
      }
      counts.again++;
      if (!isPassedOver) {
        pauses++;
        pausedNanos = nowNanos;
      }
      return true;
    }
    return false;
  }

  private long pause() {
    return Math.min(LONGEST_NANOS, AGAIN_NANOS << Math.min(pauses - 1, 10));
  }

  private boolean send(Sending sending, long nowNanos, BiPredicate<String, String> publish) {
    CrowdGoods.Item item = goods.item(Math.max(0, sending.of), sending.item);
    String bytes = sending.of == GONE ? "" : item.base64();
    long token = random.nextLong();
    if (!publish.test(topic("parcel"), message(item, token, sending.rev, bytes))) {
      return false;
    }
    counts.sent++;
    sending.atNanos = nowNanos;
    sent.put(token, sending);
    if (random.nextInt(ONE_IN_COMES_LATE) == 0) {
      late = message(item, random.nextLong(), sending.rev, bytes);
    }
    return true;
  }

  private String message(CrowdGoods.Item item, long token, long rev, String base64) {
    String words = " " + item.kind() + " " + rev + " 1/1 " + item.key() + "\n";
    return "1 " + log + " " + Long.toHexString(token) + words + base64;
  }

  /** A line of the centre. */
  void heard(String line, long nowNanos) {
    String[] words = line.split(" ", 6);
    Sending sending =
        words.length < 3 || !words[0].equals(log)
            ? null
            : sent.remove(Long.parseUnsignedLong(words[1], 16));
    if (sending == null) {
      return;
    }
    wasAnswered = true;
    answeredNanos = nowNanos;
    pauses = 0;
    if (words[2].equals("refused")) {
      counts.refused++;
      counts.oddest = line;
      return;
    }
    long crc = sending.of == GONE ? 0 : goods.item(sending.of, sending.item).crc();
    if (Long.parseLong(words[2]) == sending.rev && Long.parseLong(words[3], 16) == crc) {
      counts.held++;
    } else if (revs[sending.item] == sending.rev) {
      // Nobody else writes this log: what the centre holds cannot be newer.
      counts.odd++;
      counts.oddest = line;
    }
  }

  private String state() {
    String alerts =
        random.nextInt(50) == 0
            ? "{\"rule\":\"leak\",\"priority\":\"warning\",\"since\":\"2026-11-01T00:00:00Z\","
                + "\"text\":\"A cell leaks.\"}"
            : "";
    return "{\"log\":\""
        + log
        + "\",\"plan\":{\"name\":\"Hut\",\"chemistry\":\"lfp\",\"series\":16,\"parallel\":1,"
        + "\"rated_ah\":100},\"plan_text\":\""
        + "x".repeat(400)
        + "\",\"summary\":{\"time\":\""
        + Instant.now()
        + "\",\"sentence\":\""
        + "w".repeat(300)
        + "\"},\"alerts\":["
        + alerts
        + "]}";
  }

  /** All that the centre should hold of it, in order of kind and key, as one sum. */
  String digest() {
    List<String> lines = new ArrayList<>();
    Map<String, Integer> sorted = new TreeMap<>(Comparator.naturalOrder());
    for (int i = 0; i < of.length; i++) {
      sorted.put(goods.item(own, i).kind() + " " + goods.item(own, i).key(), i);
    }
    sorted.forEach(
        (name, i) -> {
          CrowdGoods.Item item = goods.item(Math.max(0, of[i]), i);
          String body = of[i] == GONE ? "0 -" : item.crc() + " " + item.md5();
          lines.add(name + " " + revs[i] + " " + body);
        });
    return CrowdGoods.md5(String.join("\n", lines).getBytes(StandardCharsets.UTF_8));
  }
}
