from snath.face.book import RuleBook as RuleBook
from snath.face.book import rule_book as rule_book
from snath.face.drive import Drives as Drives
from snath.face.drive import drive as drive
from snath.face.faults import InputError as InputError
from snath.face.fleet import Fleet as Fleet
from snath.face.fleet import fleet as fleet
from snath.face.job import Job as Job
from snath.face.job import work as work
from snath.face.judge import Verdict as Verdict
from snath.face.judge import judge as judge
from snath.face.limit import Limit as Limit
from snath.face.limit import limit as limit
from snath.face.recording import Recording as Recording
from snath.face.recording import read as read
from snath.face.sheet import Sheet as Sheet
from snath.face.sheet import read_sheet as read_sheet
from snath.face.window import Window as Window
from snath.face.window import window as window

__all__: list[str]
__version__: str
