package org.cellherd.app.verb;

import static java.nio.charset.StandardCharsets.US_ASCII;
import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.HexFormat;
import java.util.List;
import java.util.Set;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.cellherd.app.SystemTime;
import org.cellherd.board.LinkAddress;
import org.cellherd.protocol.Decoder;
import org.cellherd.protocol.spec.Specs;
import org.junit.jupiter.api.Test;

/** What a search for a board sends, as bytes on a line where nobody answers. */
class BoardSearchTest {

  private static final HexFormat HEX = HexFormat.of().withUpperCase();
  private static final Pattern REQUEST = Pattern.compile("(?m)^request(_text)? = \"(.*)\"$");

  /** Read holding and read input registers (Modbus Application Protocol 1.1b3, 6.3 and 6.4). */
  private static final Set<Integer> MODBUS_READS = Set.of(3, 4);

  @Test
  void onlyDocumentedReadsAreEverSent() throws Exception {
    List<Decoder> all = new ArrayList<>(Specs.shipped());
    // Those of the program itself: tests bring a decoder of their own.
    Specs.coded().stream()
        .filter(d -> d.getClass().getPackageName().startsWith("org.cellherd.protocol."))
        .forEach(all::add);
    Set<String> documented = documented();
    List<String> sent = new CopyOnWriteArrayList<>();

    try (ServerSocket silent = new ServerSocket(0, 4, InetAddress.getLoopbackAddress())) {
      Thread ear = new Thread(() -> listen(silent, sent), "silent-board");
      ear.setDaemon(true);
      ear.start();
      LinkAddress line =
          LinkAddress.parse("tcp:127.0.0.1:" + silent.getLocalPort()).address().orElseThrow();
      for (Decoder decoder : all) {
        if (!decoder.dialogue(1).isListenOnly()) {
          BoardSearch search =
              new BoardSearch(
                  new SystemTime(), List.of(new BoardSearch.Candidate(decoder.id(), decoder)));
          assertThat(search.search(line, List.of(1)).found()).isEmpty();
        }
      }
    }

    assertThat(sent).hasSizeGreaterThanOrEqualTo(6);
    assertThat(sent)
        .allMatch(bytes -> documented.contains(bytes) || isModbusRead(bytes), "documented read");
  }

  /** Every request that the shipped descriptions' own examples write out by hand. */
  private static Set<String> documented() {
    Set<String> requests = new HashSet<>();
    for (String name : Specs.shippedNames()) {
      String examples = Specs.shippedText(name + ".vectors.toml").orElseThrow();
      Matcher request = REQUEST.matcher(examples);
      while (request.find()) {
        requests.add(
            request.group(1) == null
                ? request.group(2).replace(" ", "")
                : HEX.formatHex(plain(request.group(2)).getBytes(US_ASCII)));
      }
    }
    return requests;
  }

  private static String plain(String escaped) {
    return escaped.replace("\\r", "\r").replace("\\n", "\n");
  }

  /** One RTU frame that asks for registers: address, function, start, count, check value. */
  private static boolean isModbusRead(String hex) {
    byte[] frame = HEX.parseHex(hex);
    return frame.length == 8 && MODBUS_READS.contains((int) frame[1]);
  }

  private static void listen(ServerSocket silent, List<String> sent) {
    while (!silent.isClosed()) {
      try (Socket caller = silent.accept()) {
        String bytes = HEX.formatHex(caller.getInputStream().readAllBytes());
        if (!bytes.isEmpty()) {
          sent.add(bytes);
        }
      } catch (IOException closed) {
        return;
      }
    }
  }
}
