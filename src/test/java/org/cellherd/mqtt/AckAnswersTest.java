package org.cellherd.mqtt;

import static java.nio.charset.StandardCharsets.US_ASCII;
import static java.nio.charset.StandardCharsets.UTF_16BE;
import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import org.cellherd.Await;
import org.cellherd.Tools;
import org.cellherd.json.JsonReader;
import org.cellherd.json.JsonValue;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Drawn acknowledgements through a real broker, judged by Python's own reader of JSON. */
@Execution(ExecutionMode.CONCURRENT)
class AckAnswersTest {

  private static final Path PYTHON = Path.of("/usr/bin/python3");
  private static final Path JUDGE = Path.of("src/test/resources/org/cellherd/mqtt/judge_acks.py");
  private static final int PAYLOADS = 320;

  /** Fewer than may wait, so that none is dropped. */
  private static final int AT_ONCE = 32;

  private static final JsonReader READER = new JsonReader(JsonReader.Limits.MESSAGE);
  private static final String ANSWERS = "cellherd/home/ack/answer";

  @TempDir private Path folder;
  private final TestSite site = new TestSite();

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3})
  void everyPayloadGetsTheAnswerThatItDeserves(long seed) throws Exception {
    DrawnAcks drawn = new DrawnAcks(seed);
    List<byte[]> payloads = new ArrayList<>();
    for (int i = 0; i < PAYLOADS; i++) {
      payloads.add(drawn.next());
    }
    List<String> judged = judged(payloads);
    assertThat(judged.stream().filter(j -> j.equals("no")).count())
        .as("both answers are drawn")
        .isBetween(PAYLOADS / 5L, PAYLOADS * 4L / 5);
    site.standing.add(DrawnAcks.KNOWN);
    try (Mosquitto broker = Mosquitto.open(folder);
        Subscriber person = new Subscriber(broker.url());
        MqttPublisher publisher = site.publisher(broker.url())) {
      Await.until("connected", () -> publisher.isConnected());
      for (int from = 0; from < PAYLOADS; from += AT_ONCE) {
        int to = from + AT_ONCE;
        for (byte[] payload : payloads.subList(from, to)) {
          person.publish("cellherd/home/ack", payload, false);
        }
        Await.until("answers to " + to, () -> person.texts(ANSWERS).size() >= to);
        for (int i = from; i < to; i++) {
          check(seed, payloads.get(i), judged.get(i), person.texts(ANSWERS).get(i));
        }
        assertThat(site.acknowledged).isEmpty();
      }
      assertThat(person.texts(ANSWERS)).hasSize(PAYLOADS);
    }
  }

  private void check(long seed, byte[] payload, String judged, String answer) throws Exception {
    String what =
        "seed " + seed + ", " + HexFormat.of().formatHex(payload, 0, Math.min(300, payload.length));
    JsonValue value = READER.read(answer);
    String result = value.text("result").orElseThrow();
    if (judged.equals("no")) {
      assertThat(result).as(what).isEqualTo("not-understood");
      return;
    }
    String[] words = judged.split(" ");
    String id = text(words[1]);
    assertThat(result).as(what).isEqualTo(id.equals(DrawnAcks.KNOWN) ? "done" : "unknown");
    assertThat(value.text("id")).as(what).contains(id);
    assertThat(site.acknowledged.remove(0)).as(what).isEqualTo(id + " by " + text(words[2]));
  }

  private static String text(String hex) {
    return new String(HexFormat.of().parseHex(hex), UTF_16BE);
  }

  private List<String> judged(List<byte[]> payloads) throws IOException, InterruptedException {
    Tools.requirePythonModule(PYTHON, "json");
    Path in =
        Files.write(
            folder.resolve("payloads"),
            payloads.stream().map(HexFormat.of()::formatHex).toList(),
            US_ASCII);
    Process python =
        new ProcessBuilder(PYTHON.toString(), JUDGE.toString())
            .redirectInput(in.toFile())
            .redirectError(ProcessBuilder.Redirect.INHERIT)
            .start();
    List<String> judged =
        new String(python.getInputStream().readAllBytes(), US_ASCII).lines().toList();
    assertThat(python.waitFor()).isZero();
    assertThat(judged).hasSameSizeAs(payloads);
    return judged;
  }
}
