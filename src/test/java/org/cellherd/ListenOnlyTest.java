package org.cellherd;

import static com.tngtech.archunit.core.domain.JavaAccess.Predicates.target;
import static com.tngtech.archunit.core.domain.JavaAccess.Predicates.targetOwner;
import static com.tngtech.archunit.core.domain.JavaClass.Predicates.assignableTo;
import static com.tngtech.archunit.core.domain.properties.HasName.Predicates.name;
import static com.tngtech.archunit.core.domain.properties.HasName.Predicates.nameStartingWith;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.noClasses;

import com.fazecast.jSerialComm.SerialPort;
import com.tngtech.archunit.base.DescribedPredicate;
import com.tngtech.archunit.core.domain.JavaAccess;
import com.tngtech.archunit.core.domain.JavaClass;
import com.tngtech.archunit.core.importer.ImportOption;
import com.tngtech.archunit.junit.AnalyzeClasses;
import com.tngtech.archunit.junit.ArchTest;
import com.tngtech.archunit.lang.ArchRule;
import java.net.DatagramSocket;
import java.net.ServerSocket;
import java.nio.channels.DatagramChannel;
import java.nio.channels.ServerSocketChannel;
import java.nio.channels.WritableByteChannel;
import java.util.Set;
import org.cellherd.board.Link;
import org.cellherd.protocol.Request;

/**
 * The way of every byte to a board, read off the compiled classes: a request is made in two places,
 * and one method sends it. What those may be is shown by {@code board.OnlyReadsTest}.
 */
@AnalyzeClasses(packages = "org.cellherd", importOptions = ImportOption.DoNotIncludeTests.class)
class ListenOnlyTest {

  private static final String BOARD = "org.cellherd.board.";

  /** Reads of Modbus registers, and the bytes that a description states. */
  @ArchTest
  static final ArchRule requestsAreMadeInTwoPlaces =
      noClasses()
          .that(
              areNot(
                  "org.cellherd.protocol.modbus.RegisterRead",
                  "org.cellherd.protocol.spec.SpecDialogue"))
          .should()
          .callConstructorWhere(targetOwner(assignableTo(Request.class)));

  /** Links that wrap links hand on what they were given; the simulator is the board's own side. */
  @ArchTest
  static final ArchRule oneMethodSendsToABoard =
      noClasses()
          .that(
              areNot(
                  BOARD + "HalfDuplexLine",
                  BOARD + "WrappedLink",
                  BOARD + "Rfc2217Link",
                  BOARD + "ModbusTcpLink",
                  BOARD + "CapturingLink",
                  "org.cellherd.sim.BoardServer",
                  "org.cellherd.sim.ModbusTcpServed"))
          .should()
          .accessTargetWhere(isCall("write", Link.class));

  @ArchTest
  static final ArchRule onlyAnExchangeUsesTheSender =
      noClasses()
          .that(areNot(BOARD + "HalfDuplexLine", BOARD + "Exchange"))
          .should()
          .accessTargetWhere(
              target(name("send"))
                  .and(
                      targetOwner(
                          DescribedPredicate.describe(
                              "HalfDuplexLine",
                              c -> c.getName().equals(BOARD + "HalfDuplexLine")))));

  @ArchTest
  static final ArchRule serialPortsAreWrittenInOnePlace =
      noClasses()
          .that(areNot(BOARD + "SerialLink"))
          .should()
          .accessTargetWhere(
              targetOwner(assignableTo(SerialPort.class))
                  .and(
                      target(nameStartingWith("write"))
                          .or(target(name("getOutputStream")))
                          .or(target(nameStartingWith("setDTR")))
                          .or(target(nameStartingWith("setRTS")))));

  @ArchTest
  static final ArchRule boardsOverANetworkAreWrittenInOnePlace =
      noClasses()
          .that()
          .resideInAPackage("org.cellherd.board..")
          .and(areNot(BOARD + "TcpLink"))
          .should()
          .accessTargetWhere(
              isCall("write", WritableByteChannel.class).or(target(name("getOutputStream"))));

  /** The page asks its config; the simulator and the demo's broker are bound to loopback. */
  @ArchTest
  static final ArchRule listenersAreFew =
      noClasses()
          .that(areNot("org.cellherd.mqtt.trial.MoquetteBroker", "org.cellherd.sim.TcpBoardServer"))
          .and()
          .resideOutsideOfPackage("org.cellherd.page..")
          .should()
          .dependOnClassesThat()
          .belongToAnyOf(
              ServerSocket.class,
              ServerSocketChannel.class,
              DatagramSocket.class,
              DatagramChannel.class);

  private static DescribedPredicate<JavaClass> areNot(String... names) {
    Set<String> allowed = Set.of(names);
    return DescribedPredicate.describe(
        "are not " + allowed, c -> !allowed.contains(c.getName().replaceAll("\\$.*", "")));
  }

  private static DescribedPredicate<JavaAccess<?>> isCall(String method, Class<?> owner) {
    return target(name(method)).and(targetOwner(assignableTo(owner)));
  }
}
