package org.cellherd.app.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import com.sun.jdi.Bootstrap;
import com.sun.jdi.IncompatibleThreadStateException;
import com.sun.jdi.StackFrame;
import com.sun.jdi.VirtualMachine;
import com.sun.jdi.connect.AttachingConnector;
import com.sun.jdi.connect.Connector;
import com.sun.jdi.event.BreakpointEvent;
import com.sun.jdi.event.Event;
import com.sun.jdi.event.EventSet;
import com.sun.jdi.request.BreakpointRequest;
import com.sun.jdi.request.EventRequest;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.cellherd.JavaCommand;
import org.cellherd.mqtt.trial.InProcessBroker;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * The way of a reading through the running program, as its own stacks show it: which of our methods
 * stand above the arrival of bytes, a cell's value, the making of the reading, the queue to the
 * herd's thread, the publisher that takes it, and the sending to the broker; what starts the
 * threads is left out.
 */
class ReadingHopsTest {
  /** What there was on 2026-11-28, each method once. A longer way needs a reason. */
  private static final int MOST_HOPS = 41;

  private static final Pattern ADDRESS = Pattern.compile("at address: (\\d+)");

  /** Where the way is looked at, in order: class and method, and what must stand above it. */
  private enum Place {
    BYTES("org.cellherd.board.TcpLink", "read", "HalfDuplexLine.read"),
    VALUE("org.cellherd.protocol.spec.Draft", "put", "LinePoller"),
    DECODED("org.cellherd.pack.Reading$Builder", "build", "LinePoller"),
    QUEUED("org.cellherd.app.daemon.Inbox", "put", "LinePoller"),
    TAKEN("org.cellherd.mqtt.MqttPublisher", "reading", "Herd"),
    SENT("org.cellherd.mqtt.link.Connection", "publish", "StateSender");

    private final String type;
    private final String method;
    private final String below;

    Place(String type, String method, String below) {
      this.type = type;
      this.method = method;
      this.below = below;
    }
  }

  @TempDir private Path folder;

  @Test
  void theWayFromByteToPublishIsNotLongerThanItWas() throws Exception {
    Map<Place, List<String>> seen;
    try (InProcessBroker broker = InProcessBroker.start();
        Program board = OneBoard.start(folder, "first-night")) {
      String mqtt = "[mqtt]\nurl = \"" + broker.url() + "\"\npublish_every_s = 1\n";
      OneBoard.config(folder, OneBoard.link(board), mqtt);
      try (Program run = Program.start(folder, watched())) {
        run.awaitText("at address: ");
        Matcher address = ADDRESS.matcher(run.text());
        assertThat(address.find()).isTrue();
        seen = watch(attach(address.group(1)));
      }
    }

    Set<String> hops = new LinkedHashSet<>();
    seen.forEach(
        (place, stack) -> {
          System.out.println(place);
          stack.forEach(frame -> System.out.println((hops.add(frame) ? "  " : "  . ") + frame));
        });
    System.out.println(hops.size() + " of our methods from byte to publish");
    assertThat(hops).hasSizeLessThanOrEqualTo(MOST_HOPS);
  }

  private static List<String> watched() {
    return JavaCommand.of(
        List.of("-agentlib:jdwp=transport=dt_socket,server=y,suspend=n,address=127.0.0.1:0"),
        "org.cellherd.app.verb.Main",
        "run");
  }

  private static VirtualMachine attach(String port) throws Exception {
    AttachingConnector socket =
        Bootstrap.virtualMachineManager().attachingConnectors().stream()
            .filter(each -> each.name().equals("com.sun.jdi.SocketAttach"))
            .findFirst()
            .orElseThrow();
    Map<String, Connector.Argument> arguments = socket.defaultArguments();
    Objects.requireNonNull(arguments.get("hostname")).setValue("127.0.0.1");
    Objects.requireNonNull(arguments.get("port")).setValue(port);
    return socket.attach(arguments);
  }

  /** Waits at every place until the program has come by once; each stack lowest first. */
  private static Map<Place, List<String>> watch(VirtualMachine machine) throws Exception {
    Map<Place, List<String>> seen = new LinkedHashMap<>();
    for (Place place : Place.values()) {
      List<BreakpointRequest> stops = stops(machine, place);
      while (!seen.containsKey(place)) {
        EventSet events = machine.eventQueue().remove();
        for (Event event : events) {
          if (event instanceof BreakpointEvent stop) {
            List<String> stack = ours(stop);
            if (stack.stream().anyMatch(frame -> frame.contains(place.below))) {
              seen.putIfAbsent(place, stack);
            }
          }
        }
        events.resume();
      }
      machine.eventRequestManager().deleteEventRequests(stops);
    }
    machine.dispose();
    return seen;
  }

  private static List<BreakpointRequest> stops(VirtualMachine machine, Place place)
      throws InterruptedException {
    Program.until(() -> !machine.classesByName(place.type).isEmpty(), "the class " + place.type);
    return machine.classesByName(place.type).get(0).methodsByName(place.method).stream()
        .map(
            method -> {
              BreakpointRequest stop =
                  machine.eventRequestManager().createBreakpointRequest(method.location());
              stop.setSuspendPolicy(EventRequest.SUSPEND_EVENT_THREAD);
              stop.enable();
              return stop;
            })
        .toList();
  }

  private static List<String> ours(BreakpointEvent stop) throws IncompatibleThreadStateException {
    List<String> stack = new ArrayList<>();
    for (StackFrame frame : stop.thread().frames()) {
      String type = frame.location().declaringType().name();
      boolean isOurs =
          type.startsWith("org.cellherd.") && !type.startsWith("org.cellherd.app.verb.");
      if (isOurs && !type.contains("$$Lambda")) {
        stack.add(
            0, type.substring("org.cellherd.".length()) + "." + frame.location().method().name());
      }
    }
    return stack;
  }
}
