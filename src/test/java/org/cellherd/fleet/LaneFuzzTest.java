package org.cellherd.fleet;

import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.Collections;
import java.util.List;
import java.util.Random;
import java.util.UUID;
import org.cellherd.Await;
import org.cellherd.ComputerTime;
import org.cellherd.forward.wire.CentreAnswer;
import org.cellherd.forward.wire.Lane;
import org.cellherd.forward.wire.ParcelText;
import org.cellherd.mqtt.TestBroker;
import org.cellherd.store.Parcel;
import org.cellherd.store.ParcelRows;
import org.cellherd.store.codec.PackedBytes;
import org.cellherd.store.sql.ParcelKind;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * Whatever anybody sends in any lane, drawn messages of each kind at the broker itself: the
 * gatherer and the site go on, and all that the site has is held.
 */
class LaneFuzzTest {

  private static final int EACH = 150;

  @TempDir private Path folder;

  static List<Long> seeds() {
    return HeldForGoodTest.seeds();
  }

  /** A message that could be right, as bytes. */
  private static String right(String word, Random random) {
    String log = new UUID(random.nextLong(), random.nextLong()).toString();
    if (word.equals("held")) {
      return new CentreAnswer.Held(log, random.nextLong(), 1, 2, 3, true).line();
    }
    if (word.equals("parcel")) {
      ParcelKind[] kinds = ParcelKind.values();
      ParcelKind kind = kinds[random.nextInt(kinds.length)];
      String key = String.join("/", Collections.nCopies(kind.keyParts(), "" + FleetSite.T0));
      byte[] body = new byte[random.nextInt(3) * 40_000];
      byte[] rows = new ParcelRows(List.of("pack"), List.of(List.of("crate"))).packed().bytes();
      Parcel parcel = new Parcel(kind, key, 1, new PackedBytes(body.length == 0 ? rows : body));
      List<String> texts = ParcelText.of(log, random.nextLong(), parcel);
      return texts.get(random.nextInt(texts.size()));
    }
    return "{\"log\":\"" + log + "\",\"plan\":{\"series\":4},\"alerts\":[{\"rule\":\"leak\"}]}";
  }

  /** The same damaged: bytes changed, cut out, put in twice; or none of it. */
  private static byte[] damaged(byte[] right, Random random) {
    byte[] bytes = right.clone();
    for (int i = random.nextInt(4); i > 0 && bytes.length > 0; i--) {
      bytes[random.nextInt(Math.min(bytes.length, 200))] = (byte) random.nextInt(256);
    }
    if (random.nextInt(4) == 0) {
      bytes = Arrays.copyOf(bytes, random.nextInt(bytes.length + 9));
    }
    return bytes;
  }

  @ParameterizedTest
  @MethodSource("seeds")
  void noDrawnMessageStopsAnybody(long seed) throws Exception {
    System.out.println("seed " + seed);
    Random random = new Random(seed);
    TestCentre centre = TestCentre.fresh();
    try (TestBroker broker = TestBroker.open();
        Meddler meddler = new Meddler(broker.url());
        FleetSite site = FleetSite.fresh("hill", folder, broker.url(), seed);
        Gatherer gatherer =
            Gatherer.start(
                new Gatherer.Settings(
                    FleetSite.ROOT,
                    FleetSite.link(broker.url(), "gatherer", "fuzzed").withMostWaiting(1_000),
                    centre.address()),
                new ComputerTime())) {
      site.grow(2);
      site.forward(300);
      Await.until("it gathers", site::isAllHeld);
      long own = gatherer.stored();
      for (int i = 0; i < EACH; i++) {
        Lane lane = new Lane(FleetSite.ROOT, random.nextInt(3) == 0 ? "hill" : "shore");
        for (String word : List.of("parcel", "held", "now/crate", "link", "now/No pack")) {
          byte[] right = right(word, random).getBytes(StandardCharsets.UTF_8);
          String topic = lane.root() + "/" + lane.number() + "/" + lane.site() + "/" + word;
          meddler.send(topic, damaged(right, random));
        }
      }
      site.grow(3);
      Await.until("all held", site::isAllHeld);
      // Some come through as they were.
      Await.until("some stored", () -> gatherer.stored() > own + EACH / 10);
    }
  }
}
