package org.cellherd.fleet;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.concurrent.ConcurrentSkipListSet;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.cellherd.Await;
import org.cellherd.ComputerTime;
import org.cellherd.forward.ForwardSettings;
import org.cellherd.forward.wire.Lane;
import org.cellherd.mqtt.Mosquitto;
import org.cellherd.store.sql.Database;
import org.eclipse.paho.client.mqttv3.MqttAsyncClient;
import org.eclipse.paho.client.mqttv3.MqttConnectOptions;
import org.eclipse.paho.client.mqttv3.MqttException;
import org.eclipse.paho.client.mqttv3.persist.MemoryPersistence;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The access rules that the documentation shows, on the broker that they are for. */
class BrokerRightsTest {

  private static final String ROOT = ForwardSettings.ROOT;
  private static final String DONE = "done";
  private static final List<String> USERS = List.of("hill", "shore", "gatherer", "nobody");
  private static final List<String> WORDS = List.of("parcel", "held", "link", "now/crate");

  @TempDir private Path folder;

  private final Map<String, MqttAsyncClient> clients = new TreeMap<>();
  private final Map<String, Set<String>> heard = new TreeMap<>();
  private Mosquitto broker;

  /** A user of this test alone may do everything, and everybody hears when a test is done. */
  @BeforeEach
  void open() throws Exception {
    String page = Files.readString(Path.of("src/deb/fleet.md"), UTF_8);
    Matcher shown =
        Pattern.compile("(?s)```\n(user hill.*?)\n\n(user gatherer.*?)```").matcher(page);
    assertThat(shown.find()).isTrue();
    String hill = shown.group(1);
    Lane shore = new Lane(ROOT, "shore");
    String other = hill.replace("hill", "shore").replace("/7/", "/" + shore.number() + "/");
    String all = String.join("\n", hill, other, shown.group(2), "user nobody", "user watcher\n");
    String rules = all.replaceAll("(user .*)\n", "$1\ntopic read " + DONE + "\n");
    Files.writeString(folder.resolve("acl"), rules + "topic readwrite #\n");
    broker = Mosquitto.with(folder, false, "allow_anonymous true\nacl_file acl\n");
  }

  @AfterEach
  void close() throws MqttException {
    for (MqttAsyncClient client : clients.values()) {
      client.disconnectForcibly(0, 200, false);
      client.close(true);
    }
    broker.close();
  }

  private Set<String> heard(String user) {
    return heard.computeIfAbsent(user, u -> new ConcurrentSkipListSet<>());
  }

  private MqttAsyncClient client(String user) throws MqttException {
    MqttAsyncClient client =
        new MqttAsyncClient(
            "tcp://" + broker.url().hostAndPort(), "test-" + user, new MemoryPersistence());
    Set<String> texts = heard(user);
    MqttConnectOptions options = new MqttConnectOptions();
    options.setUserName(user);
    options.setMaxInflight(1_000);
    client.connect(options).waitForCompletion(20_000);
    client.subscribe(DONE, 1, (topic, message) -> texts.add(topic)).waitForCompletion(20_000);
    clients.put(user, client);
    return client;
  }

  private static void publish(MqttAsyncClient client, String topic, String text)
      throws MqttException {
    client.publish(topic, text.getBytes(UTF_8), 1, false).waitForCompletion(20_000);
  }

  private static List<String> topics() {
    List<String> topics = new ArrayList<>();
    for (String site : List.of("hill", "shore")) {
      Lane lane = new Lane(ROOT, site);
      WORDS.forEach(word -> topics.add(ROOT + "/" + lane.number() + "/" + site + "/" + word));
    }
    topics.add(ROOT + "/gatherer/one");
    topics.add("cellherd/home/ack");
    return topics;
  }

  /** What the rules are to allow, as the table of topics says it. */
  private static boolean mayWrite(String user, String topic) {
    boolean isHeld = topic.endsWith("/held");
    return user.equals("gatherer")
        ? isHeld || topic.contains("/gatherer/")
        : topic.contains("/" + user + "/") && !isHeld;
  }

  private static boolean mayRead(String user, String topic) {
    return user.equals("gatherer")
        ? topic.startsWith(ROOT)
        : topic.contains("/" + user + "/") && topic.endsWith("/held");
  }

  @Test
  void eachPublishesWhatIsItsOwnOnly() throws Exception {
    MqttAsyncClient watcher = client("watcher");
    Set<String> arrived = heard("watcher");
    watcher
        .subscribe("#", 1, (topic, message) -> arrived.add(new String(message.getPayload(), UTF_8)))
        .waitForCompletion(20_000);
    Set<String> allowed = new TreeSet<>();
    for (String user : USERS) {
      MqttAsyncClient client = client(user);
      for (String topic : topics()) {
        publish(client, topic, user + " " + topic);
        if (mayWrite(user, topic)) {
          allowed.add(user + " " + topic);
        }
      }
    }
    publish(watcher, DONE, DONE);
    Await.until("all came", () -> arrived.contains(DONE));
    allowed.add(DONE);
    assertThat(arrived).containsExactlyInAnyOrderElementsOf(allowed).hasSize(10);
  }

  @Test
  void eachHearsWhatIsMeantForItOnly() throws Exception {
    Map<String, Set<String>> allowed = new TreeMap<>();
    for (String user : USERS) {
      MqttAsyncClient client = client(user);
      Set<String> texts = heard(user);
      List<String> filters = new ArrayList<>(topics());
      filters.addAll(List.of("#", ROOT + "/#", ROOT + "/+/+/held", ROOT + "/7/+/parcel"));
      for (String filter : filters) {
        try {
          client
              .subscribe(filter, 1, (topic, message) -> texts.add(topic))
              .waitForCompletion(20_000);
        } catch (MqttException refused) {
          // As it should be.
        }
      }
      Set<String> own = new TreeSet<>(Collections.singleton(DONE));
      topics().stream().filter(topic -> mayRead(user, topic)).forEach(own::add);
      allowed.put(user, own);
    }
    MqttAsyncClient watcher = client("watcher");
    for (String topic : topics()) {
      publish(watcher, topic, "x");
    }
    publish(watcher, DONE, DONE);
    for (String user : USERS) {
      Await.until("all came", () -> heard(user).contains(DONE));
      assertThat(heard(user)).as(user).isEqualTo(allowed.get(user));
    }
  }

  @Test
  void aSiteAndAGathererNeedNoMore() throws Exception {
    TestCentre centre = TestCentre.fresh();
    try (FleetSite site = FleetSite.fresh("hill", folder, broker.url(), 1);
        Gatherer gatherer =
            Gatherer.start(
                new Gatherer.Settings(
                    FleetSite.ROOT,
                    FleetSite.link(broker.url(), "gatherer", "gatherer"),
                    centre.address()),
                new ComputerTime())) {
      site.grow(5);
      site.forward(2_000);
      Await.until("all held", site::isAllHeld);
      assertThat(gatherer.stored()).isPositive();
      try (Centre open = Centre.openForReading(centre.address())) {
        String now = "SELECT count(*) FROM pack_now";
        Await.until("its state is there", () -> count(open, now) == 1);
      }
    }
  }

  private static long count(Centre centre, String sql) {
    try {
      return centre.plain(c -> Database.number(c, sql).orElse(0));
    } catch (CentreTrouble e) {
      throw new IllegalStateException(e);
    }
  }
}
